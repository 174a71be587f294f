"""The catalogue of findings: each one used, provoked by a test, and explained in the manual."""

from __future__ import annotations

import ast
import re

from source import DOCS, PACKAGE, TESTS, label, modules, tree

from bendwright.cli.findings import findings_page
from bendwright.findings import catalogue

CODE = re.compile(r"[QPSMRKOTDCWUVB]\d{3}")
FAMILIES = {
    "quantities": "Q",
    "part_file": "P",
    "shop": "S",
    "ranges": "R",
    "make_ability": "M",
    "stroke": "K",
    "plan": "O",
    "trial": "T",
    "drawing": "D",
    "step": "D",
    "dxf": "D",
    "output": "D",
    "makeable": "M",
    "ways": "W",
    "doubt": "U",
    "cures": "O",
    "replay": "V",
    "command": "C",
    "store": "B",
    "security": "B",
    "bench": "B",
}


def codes_in_source() -> dict[str, str]:
    """Every string in the package that is a finding code, with one place where it stands."""
    return {
        node.value: label(path, node)
        for path in modules()
        for node in ast.walk(tree(path))
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and CODE.fullmatch(node.value)
    }


def test_every_code_used_exists() -> None:
    """Nothing in the program asks for a finding the catalogue does not have."""
    assert {code: where for code, where in codes_in_source().items() if code not in catalogue()} == {}


def test_every_code_in_the_catalogue_is_used() -> None:
    """No finding stands in the catalogue that nothing can raise."""
    assert sorted(set(catalogue()) - set(codes_in_source())) == []


def test_every_code_is_provoked_by_a_test() -> None:
    """Each code stands in a test that provokes it from a wrong input."""
    texts = "".join(
        path.read_text(encoding="utf-8", errors="replace")
        for path in TESTS.rglob("*")
        if path.suffix in {".py", ".yaml", ".csv", ".txt", ".json"} and "house" not in path.parts
    )
    assert sorted(code for code in catalogue() if code not in texts) == []


def test_codes_stand_in_the_file_of_their_family() -> None:
    """The letter of a code says which file its text stands in."""
    wrong = []
    for path in sorted((PACKAGE / "finding_texts").glob("*.yaml")):
        codes = re.findall(r"^([A-Z]\d+):", path.read_text(encoding="utf-8"), re.MULTILINE)
        wrong += [f"{path.name} {code}" for code in codes if not code.startswith(FAMILIES.get(path.stem, "?"))]
    assert not wrong, "\n".join(wrong)


def test_no_code_is_given_twice() -> None:
    """A second text under a code would silently hide the first."""
    texts = [path.read_text(encoding="utf-8") for path in (PACKAGE / "finding_texts").glob("*.yaml")]
    codes = [code for text in texts for code in re.findall(r"^([A-Z]\d+):", text, re.MULTILINE)]
    assert sorted({code for code in codes if codes.count(code) > 1}) == []


def test_every_error_says_what_to_do() -> None:
    """An error names its cure; a sentence ends with a stop."""
    kinds = catalogue().values()
    assert [kind.code for kind in kinds if kind.severity == "error" and not kind.cure.strip()] == []
    assert [kind.code for kind in kinds if not kind.sentence.rstrip().endswith((".", "?", "!", "}"))] == []


def test_the_manual_page_is_current() -> None:
    """docs/findings.md is what the catalogue says today; rewrite it with ``bendwright findings --page``."""
    assert (DOCS / "findings.md").read_text(encoding="utf-8") == findings_page()
