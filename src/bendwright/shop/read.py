"""The shop is a folder; this reads it whole.

``shop.yaml`` (name), ``punches.yaml``, ``dies.yaml``, ``brakes.yaml`` and ``practice.yaml`` must be there;
``materials.yaml`` (own materials on top of the built-in ones) and ``bend_table.csv`` or ``bend_table.yaml`` may be.
All findings of all files are raised together. ``docs/shop-files.md`` describes every field.
"""

from __future__ import annotations

from functools import cache
from importlib import resources
from pathlib import Path

from bendwright.findings import Finding, ShopFileError, found
from bendwright.shop.bend_table import BendTable
from bendwright.shop.material import Material
from bendwright.shop.pages import read_page, read_text
from bendwright.shop.passport import Passport
from bendwright.shop.read_bend_table import page_from_csv, read_bend_table, table_findings
from bendwright.shop.read_brakes import read_brakes
from bendwright.shop.read_materials import built_in_materials, read_materials
from bendwright.shop.read_passport import read_passport
from bendwright.shop.read_practice import read_practice
from bendwright.shop.read_tools import read_dies, read_punches
from bendwright.shop.shop import Shop
from bendwright.shop.tools import Cabinet
from bendwright.typed.gathering import Gathering
from bendwright.typed.readers import a_text
from bendwright.typed.record import Record

__all__ = ["built_in_materials", "built_in_shop", "built_in_shop_folder", "read_shop"]


def read_shop(folder: Path) -> Shop:
    """The shop in ``folder``. Raises ShopFileError with every finding of every file, by file, line and field."""
    if not folder.is_dir():
        raise ShopFileError(found("S101", where=str(folder), folder=folder.name))
    files = Gathering()
    named = files.trusted(lambda: _name(read_page(folder / "shop.yaml", "shop file")))
    own = files.trusted(lambda: _own_materials(folder / "materials.yaml"))
    materials = dict(built_in_materials()) | {material.name: material for material in (own or ((), ()))[0]}
    punches = files.trusted(lambda: read_punches(read_page(folder / "punches.yaml", "punches file")))
    dies = files.trusted(lambda: read_dies(read_page(folder / "dies.yaml", "dies file")))
    brakes = files.trusted(lambda: read_brakes(read_page(folder / "brakes.yaml", "brakes file")))
    practice = files.trusted(lambda: read_practice(read_page(folder / "practice.yaml", "practice file"), materials))
    table = files.trusted(lambda: _bend_table(folder, materials))
    if files.findings:
        raise ShopFileError(files.findings)
    name, passport = named
    table_watches = () if table is None else tuple(table_findings(table))
    return Shop(
        name=name,
        materials=materials,
        cabinet=Cabinet(punches=punches[0], dies=dies[0], passport=passport),
        brakes={brake.id: brake for brake in brakes[0]},
        practice=practice,
        bend_table=table,
        findings=(*own[1], *punches[2], *dies[2], *brakes[1], *table_watches),
    )


@cache
def built_in_shop(name: str = "saltmarsh") -> Shop:
    """A shop shipped with the package: ``saltmarsh``, the invented shop of the examples."""
    return read_shop(built_in_shop_folder(name))


def built_in_shop_folder(name: str = "saltmarsh") -> Path:
    """Where the files of a shipped shop lie, to be copied and edited; an unknown name is refused."""
    data = Path(str(resources.files("bendwright") / "shop" / "data"))
    shipped = sorted(path.parent.name for path in data.glob("*/shop.yaml"))
    if name not in shipped:
        raise ShopFileError(found("S135", name=name, shipped=", ".join(shipped)))
    return data / name


def _name(page: Record) -> tuple[str, Passport]:
    """Name and passport of the shop."""
    passport = read_passport(page)
    name = page.needed("name", a_text)
    page.done()
    return name, passport


def _own_materials(path: Path) -> tuple[tuple[Material, ...], tuple[Finding, ...]]:
    """The shop's own materials; none when there is no such file."""
    if not path.exists():
        return (), ()
    return read_materials(read_page(path, "materials file"), built_in_materials())


def _bend_table(folder: Path, materials: dict[str, Material]) -> BendTable | None:
    """The bend table in one of its two forms; None when there is neither, refused when there are both."""
    as_yaml, as_csv = folder / "bend_table.yaml", folder / "bend_table.csv"
    if as_yaml.exists() and as_csv.exists():
        raise ShopFileError(found("S136", where=folder.name))
    if as_yaml.exists():
        return read_bend_table(read_page(as_yaml, "bend table"), materials)
    if as_csv.exists():
        return read_bend_table(page_from_csv(read_text(as_csv), as_csv.name), materials)
    return None
