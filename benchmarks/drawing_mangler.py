"""Ways to spoil a drawing file, chosen by a seeded chance: each takes the bytes of a sound one and gives spoilt ones."""

from __future__ import annotations

import random
import re
from collections.abc import Callable

Mangle = Callable[[bytes, random.Random], bytes]
NUMBER = re.compile(rb"(?<![#\w.])-?\d+\.\d*(?:[eE][-+]?\d+)?")
WHOLE = re.compile(rb"(?<![#\w.])-?\d+(?![\w.])")
REFERENCE = re.compile(rb"#\d+")
ODD_NUMBERS = (
    b"NaN",
    b"-NaN",
    b"1.#INF",
    b"Infinity",
    b"1.E308",
    b"-1.E308",
    b"1.E999",
    b"1.E-320",
    b"0.",
    b"-0.",
    b"1E6",
    b"1,5",
    b"",
    b"0x1F",
    b"'two'",
    b"$",
    b"*",
    b"9" * 400 + b".",
    b"1..2",
    b"--3.",
)
KEYWORDS = {
    "step": (
        b"CYLINDRICAL_SURFACE",
        b"PLANE",
        b"CONICAL_SURFACE",
        b"SPHERICAL_SURFACE",
        b"LINE",
        b"CIRCLE",
        b"EDGE_CURVE",
        b"ORIENTED_EDGE",
        b"EDGE_LOOP",
        b"VERTEX_POINT",
        b"ADVANCED_FACE",
        b"FACE_BOUND",
        b"FACE_OUTER_BOUND",
        b"CLOSED_SHELL",
        b"OPEN_SHELL",
        b"MANIFOLD_SOLID_BREP",
        b"AXIS2_PLACEMENT_3D",
        b"CARTESIAN_POINT",
        b"DIRECTION",
        b"VECTOR",
        b".MILLI.",
        b".T.",
        b".F.",
    ),
    "dxf": (
        b"LINE",
        b"ARC",
        b"CIRCLE",
        b"LWPOLYLINE",
        b"POLYLINE",
        b"VERTEX",
        b"SEQEND",
        b"SPLINE",
        b"ELLIPSE",
        b"INSERT",
        b"BLOCK",
        b"ENDBLK",
        b"SECTION",
        b"ENDSEC",
        b"ENTITIES",
        b"TABLES",
        b"HEADER",
        b"EOF",
        b"$INSUNITS",
        b"AC1015",
        b"AC1027",
        b"AC1009",
        b"BEND",
    ),
}


def mangled(kind: str, sound: bytes, chance: random.Random) -> bytes:
    """The file spoilt in one to four ways; ``kind`` step or dxf."""
    out = sound
    ways = STEP_WAYS if kind == "step" else DXF_WAYS
    for _ in range(chance.choice((1, 1, 1, 2, 3, 4))):
        out = chance.choice(ways)(out, chance)
    return out


def _flip_bytes(data: bytes, chance: random.Random) -> bytes:
    out = bytearray(data)
    for _ in range(chance.choice((1, 1, 5, 60))):
        if out:
            out[chance.randrange(len(out))] = chance.randrange(256)
    return bytes(out)


def _flip_in_text(data: bytes, chance: random.Random) -> bytes:
    """Bytes exchanged for others that also stand in such files: the file stays readable for longer."""
    out = bytearray(data)
    for _ in range(chance.choice((1, 3, 20))):
        if out:
            out[chance.randrange(len(out))] = chance.choice(b"0123456789.-+E#(),;'$*\n ABCPT")
    return bytes(out)


def _lose_lines(data: bytes, chance: random.Random) -> bytes:
    lines = data.splitlines(keepends=True)
    for _ in range(chance.choice((1, 1, 2, 10))):
        if lines:
            del lines[chance.randrange(len(lines))]
    return b"".join(lines)


def _double_lines(data: bytes, chance: random.Random) -> bytes:
    lines = data.splitlines(keepends=True)
    for _ in range(chance.choice((1, 1, 2, 10))):
        if lines:
            at = chance.randrange(len(lines))
            lines[at:at] = lines[at : at + chance.choice((1, 2, 8))]
    return b"".join(lines)


def _swap_lines(data: bytes, chance: random.Random) -> bytes:
    lines = data.splitlines(keepends=True)
    for _ in range(chance.choice((1, 1, 2, 10))):
        if len(lines) > 1:
            a, b = chance.randrange(len(lines)), chance.randrange(len(lines))
            lines[a], lines[b] = lines[b], lines[a]
    return b"".join(lines)


def _cut_off(data: bytes, chance: random.Random) -> bytes:
    return data[: chance.randrange(len(data) + 1)]


def _cut_out(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(data) + 1)
    return data[:at] + data[at + chance.choice((1, 10, 200, 5000)) :]


def _put_in(data: bytes, chance: random.Random) -> bytes:
    at = chance.randrange(len(data) + 1)
    return data[:at] + chance.randbytes(chance.choice((1, 4, 100))) + data[at:]


def _each(pattern: re.Pattern[bytes], new: Callable[[bytes, random.Random], bytes]) -> Mangle:
    """Some of what a pattern finds, replaced."""

    def way(data: bytes, chance: random.Random) -> bytes:
        places = [match.span() for match in pattern.finditer(data)]
        if not places:
            return data
        chosen = sorted(chance.sample(places, min(len(places), chance.choice((1, 1, 2, 5, 40)))), reverse=True)
        out = data
        for start, end in chosen:
            out = out[:start] + new(out[start:end], chance) + out[end:]
        return out

    return way


def _scaled(number: bytes, chance: random.Random) -> bytes:
    try:
        value = float(number)
    except ValueError:
        return number
    factor = chance.choice((-1.0, 0.0, 2.0, 10.0, 1e3, 1e6, 1e12, 1e-3, 1e-9, 1.0 + 1e-6, 1.0 + 1e-3, 1.1))
    return repr(value * factor).encode().replace(b"e", b"E") if b"." in number else str(int(value * factor)).encode()


def _shifted(number: bytes, chance: random.Random) -> bytes:
    try:
        return repr(float(number) + chance.choice((1e-6, 1e-4, 1e-3, 0.01, 0.1, 1.0, -5.0, 100.0))).encode()
    except ValueError:
        return number


def _odd(number: bytes, chance: random.Random) -> bytes:
    return chance.choice(ODD_NUMBERS)


def _huge(number: bytes, chance: random.Random) -> bytes:
    return (
        chance.choice((b"", b"-"))
        + b"1.E"
        + str(chance.choice((5, 7, 9, 12, 20, 30, 77, 150, 160, 200, 300, 308))).encode()
    )


def _whole(number: bytes, chance: random.Random) -> bytes:
    return str(chance.choice((-1, 0, 1, 2, 3, 255, 2**31, -(2**31), 10**18, chance.randrange(2000)))).encode()


def _turned_elsewhere(reference: bytes, chance: random.Random) -> bytes:
    near = int(reference[1:]) + chance.choice((-3, -2, -1, 1, 2, 3))
    return b"#%d" % chance.choice((near, near, chance.randrange(1, 3000), 0, -1, 10**12))


def _exchanged(kind: str) -> Mangle:
    """Keywords of the format exchanged for each other."""
    words = KEYWORDS[kind]
    pattern = re.compile(rb"(?<![A-Z_$])(?:" + b"|".join(map(re.escape, words)) + rb")(?![A-Z_0-9])")
    return _each(pattern, lambda _, chance: chance.choice(words))


def _entities_exchanged(data: bytes, chance: random.Random) -> bytes:
    """What two STEP entities of one kind say, exchanged: all stays well-formed, the shape does not."""
    places: dict[bytes, list[tuple[int, int]]] = {}
    for match in re.finditer(rb"=\s*([A-Z_0-9]+)\s*(\([^;]*\))\s*;", data):
        places.setdefault(match.group(1), []).append(match.span(2))
    several = [spans for spans in places.values() if len(spans) > 1]
    if not several:
        return data
    (a, b), (c, d) = sorted(chance.sample(chance.choice(several), 2))
    return data[:a] + data[c:d] + data[b:c] + data[a:b] + data[d:]


def _entities_moved(data: bytes, chance: random.Random) -> bytes:
    """Whole DXF entities lost, doubled or exchanged: the pairs of code and value stay well-formed."""
    parts = re.split(rb"(?m)^(?=[ \t]*0\r?\n[A-Z])", data)
    for _ in range(chance.choice((1, 1, 3, 10))):
        a, b = chance.randrange(len(parts)), chance.randrange(len(parts))
        way = chance.randrange(3)
        if way == 0 and len(parts) > 1:
            del parts[a]
        elif way == 1:
            parts.insert(b, parts[a])
        else:
            parts[a], parts[b] = parts[b], parts[a]
    return b"".join(parts)


_ANYTHING: tuple[Mangle, ...] = (
    _flip_bytes,
    _flip_in_text,
    _lose_lines,
    _double_lines,
    _swap_lines,
    _cut_off,
    _cut_out,
    _put_in,
    _each(NUMBER, _odd),
    _each(NUMBER, _huge),
    _each(NUMBER, _scaled),
    _each(NUMBER, _scaled),
    _each(NUMBER, _shifted),
    _each(NUMBER, _shifted),
    _each(WHOLE, _whole),
)
STEP_WAYS: tuple[Mangle, ...] = (
    *_ANYTHING,
    _each(REFERENCE, _turned_elsewhere),
    _each(REFERENCE, _turned_elsewhere),
    _exchanged("step"),
    _exchanged("step"),
    _entities_exchanged,
    _entities_exchanged,
)
DXF_WAYS: tuple[Mangle, ...] = (
    *_ANYTHING,
    _each(NUMBER, _scaled),
    _each(NUMBER, _shifted),
    _exchanged("dxf"),
    _exchanged("dxf"),
    _entities_moved,
    _entities_moved,
    _entities_moved,
)
