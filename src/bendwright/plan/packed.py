"""The part, the tools and the moves as plain arrays for the compiled questions of the search.

Bodies are numbered over all moves; those of a move stand together, parent's side first. A set of done bends is a whole number,
bit i for bend i. Everything is seen in the frame of its move, see ``stroke.bodies``.
"""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np

from bendwright.geometry.rigid import Array

Ints = np.ndarray[Any, np.dtype[np.int64]]
Flags = np.ndarray[Any, np.dtype[np.bool_]]


class Packed(NamedTuple):
    """Bodies and moves. Bodies: ``move``, ``side`` (0 parent, 1 child), ``like`` the first that stands as it does at a move of the same
    leading bend, corners ``cloud_at``/``cloud_n`` in ``clouds``, bends on the way ``path_at``/``path_n`` in ``path_bits`` with ``turns``
    and ``shifts``; there at all when ``must`` is done and ``mustnot`` is not; all of these bends as a set in ``ways``; ``ease`` [mm] a
    relieved tool end may reach into it; ``plate`` for flats, ``next_to`` for the flats at the bend itself.

    Moves: bodies ``first``..``last``, frames ``frame_turn``/``frame_move`` [move, side], ``swing`` numbers, relaxed angle ``target``
    [rad], material ``span`` along the bend, ``die`` number, ``alike`` (one number for moves that swing alike in one die), the bends it
    ``makes``, those that must be done before (``needs``) and must not (``bars``), ``pressed`` where a ``pair`` (its number) presses hems
    flat or makes a jog (no finger nearer than ``behind`` then [mm]), ``sides`` [move, side] that may lie at the gauge; ``forbidden``
    [move, row] sets of bends (must be done, must not) with which no punch can make it, (-1, 0) ends them; the bends that matter
    ``for_stops`` and for the part itself, and ``for_room`` of stacks.
    """

    move: Ints
    side: Ints
    like: Ints
    cloud_at: Ints
    cloud_n: Ints
    clouds: Array
    path_at: Ints
    path_n: Ints
    path_bits: Ints
    turns: Array
    shifts: Array
    must: Ints
    mustnot: Ints
    ways: Ints
    ease: Array
    plate: Flags
    next_to: Flags
    first: Ints
    last: Ints
    frame_turn: Array
    frame_move: Array
    swing: Array
    target: Array
    span: Array
    die: Ints
    alike: Ints
    makes: Ints
    needs: Ints
    bars: Ints
    pressed: Flags
    pair: Ints
    behind: Array
    sides: Flags
    forbidden: Ints
    for_stops: Ints
    for_room: Ints


class PackedTools(NamedTuple):
    """Static classes [punch, class, piece, corner, 2]: whole, above the foot, foot, the same three mirrored, ram; ``beside`` what legs can
    meet of them; ``swept`` the first six drawn up by the ram; die-side classes [die, class]: die, holder, bed;
    ``sectors`` the same seen from the origin: nearest, farthest [mm], lowest and highest direction [rad]. ``same``: a punch that
    is its own mirror image; ``outline`` [punch, corner, 2] with ``outline_n``; ``ear`` [punch] (foot height, overhang; 0 without).
    ``open_gap`` [punch, die]: daylight between tip and die top [mm]; ``above`` [punch]: tip to the ram; ``finger`` height of the gauge's
    [mm].
    """

    rings: Array
    counts: Ints
    beside: Array
    beside_counts: Ints
    swept: Array
    swept_counts: Ints
    die_rings: Array
    die_counts: Ints
    sectors: Array
    beside_sectors: Array
    die_sectors: Array
    same: Flags
    outline: Array
    outline_n: Ints
    ear: Array
    open_gap: Array
    above: Array
    finger: float
    suits: Flags


class PackedStops(NamedTuple):
    """Stops of the back gauge: those of (move, side) are ``first``..``last``. ``rows``: kind (0 edge, 1 face, 2 arc, 3 edge with notches,
    4 edge aslant), body or -1, holds the next flange directly; ``numbers``: x, low w, high w, r, rise of x along w; ``must``/``mustnot``
    bends; ``live``: not always beaten by another. Fits [move, side]: ``fit`` flange and the bends that must be done for this
    to be its last.
    """

    first: Ints
    last: Ints
    rows: Ints
    numbers: Array
    must: Ints
    mustnot: Ints
    live: Flags
    fit: Flags
    fit_mask: Ints
    good: Array
    limits: Array
