"""What bench is this, and is it ready?"""

from __future__ import annotations

from dataclasses import dataclass
from importlib.util import find_spec

from fastapi import APIRouter

import bendwright
from bendwright.bench.place import At
from bendwright.bench.settings import DEMO_SHOP

router = APIRouter(tags=["about"])


@dataclass(frozen=True, slots=True, kw_only=True)
class ShopNamed:
    """A shop to choose: id, and whether it is the invented demo shop."""

    id: str
    demo: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """Version, the address a tablet of the shop calls the bench by (nothing where it was not told), shops, whether others on the network
    may come in, whether STEP models can be read, whether the processes are ready (where the installation compiled nothing they compile, for
    a minute).
    """

    version: str
    address: str
    shops: list[ShopNamed]
    lan: bool
    cad_kernel: bool
    ready: bool


@router.get("/about")
def about(place: At) -> About:
    """What bench this is."""
    return About(
        version=bendwright.__version__,
        address=place.settings.address,
        shops=[ShopNamed(id=name, demo=name == DEMO_SHOP) for name in place.shops()],
        lan=place.settings.security.lan,
        cad_kernel=find_spec("OCP") is not None,
        ready=place.ready.is_set(),
    )
