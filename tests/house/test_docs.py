"""The manual: nothing missing, nothing invented, nothing that does not belong."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import click
import pytest
from source import DOCS, PACKAGE, ROOT, label, text_files

from bendwright.cli.app import VERBS, bendwright

PAGES = [ROOT / name for name in ("README.md", "CONTRIBUTING.md", "CHANGELOG.md")] + sorted(DOCS.rglob("*.md"))
FOREIGN_WORDS = (
    r"/" + r"(work|tmp|root|home)/",
    r"\b(sub" + r"agent|tran" + r"script|chat" + r"bot)s?\b",
    r"\b(TO" + r"DO|FIX" + r"ME|XX" + r"X)\b",
    r"NotImplemented" + r"Error",
    r"mark\." + r"(skip|xfail)\b",
    r"\bpy" + r"pi\b|python" + r"hosted",
)


def commands() -> dict[str, click.Command]:
    """Every verb and sub-verb, by the words typed."""
    context = click.Context(bendwright)
    found: dict[str, click.Command] = {}
    for verb in VERBS:
        command = bendwright.get_command(context, verb)
        assert command is not None
        found[verb] = command
        if isinstance(command, click.Group):
            found |= {f"{verb} {name}": sub for name, sub in command.commands.items()}
    return found


def section(text: str, title: str) -> str:
    """The text under the heading ``## title`` or ``### title``; empty when there is no such heading."""
    match = re.search(rf"^##+ `?{re.escape(title)}`?\n(.*?)(?=^##+ |\Z)", text, re.MULTILINE | re.DOTALL)
    return match[1] if match else ""


def test_every_command_and_option_is_in_the_manual() -> None:
    """docs/commands.md has a section for each verb, and it names every option and argument."""
    text = (DOCS / "commands.md").read_text(encoding="utf-8")
    missing = []
    for words, command in commands().items():
        own = section(text, f"bendwright {words}")
        missing += [] if own else [words]
        for param in command.params:
            names = param.opts if isinstance(param, click.Option) else [param.human_readable_name]
            missing += [f"{words} {name}" for name in names if name not in own]
    assert not missing, "\n".join(missing)


def test_the_manual_names_no_option_that_does_not_exist() -> None:
    """An option written in a section of docs/commands.md is an option of that verb."""
    text = (DOCS / "commands.md").read_text(encoding="utf-8")
    unknown = []
    for words, command in commands().items():
        own = section(text, f"bendwright {words}")
        real = {name for param in command.params for name in [*param.opts, *param.secondary_opts]} | {"--help"}
        unknown += [f"{words} {name}" for name in re.findall(r"`(--[a-z-]+)", own) if name not in real]
    assert not unknown, "\n".join(unknown)


def test_every_page_stands_in_the_index() -> None:
    """docs/README.md links every page of the manual; the methods have an index of their own."""
    for index in (DOCS / "README.md", DOCS / "methods" / "index.md"):
        folder, text = index.parent, index.read_text(encoding="utf-8")
        pages = [p.relative_to(folder).as_posix() for p in folder.rglob("*.md") if p != index]
        own = [page for page in pages if not page.startswith("methods/") or page == "methods/index.md"]
        assert [page for page in own if f"({page})" not in text] == []


@pytest.mark.parametrize("page", PAGES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_links_and_files_named_exist(page: Path) -> None:
    """Every link between pages, and every file of the project named in one, leads somewhere."""
    text = page.read_text(encoding="utf-8")
    links = [target.split("#")[0] for target in re.findall(r"\]\(([^)\s]+)\)", text) if "://" not in target]
    named = re.findall(r"`([\w.\-]+(?:/[\w.\-]+)+\.(?:py|md|yaml|json|toml|csv|txt))`", text)
    dead = [link for link in links if link and not (page.parent / link).exists()]
    dead += [
        name
        for name in named
        if not name.startswith("out/") and not any((base / name).exists() for base in (ROOT, page.parent, PACKAGE))
    ]
    assert not dead, "\n".join(dead)


def test_nothing_foreign_in_any_file() -> None:
    """No path of somebody's machine, no unfinished mark, no word about anything but the project."""
    wrong = []
    for path in text_files():
        for number, line in enumerate(path.read_text(encoding="utf-8", errors="replace").splitlines(), 1):
            wrong += [f"{label(path)}:{number}: {line.strip()[:80]}" for word in FOREIGN_WORDS if re.search(word, line)]
    assert not wrong, "\n".join(wrong)


def test_the_readme_begins_with_two_commands() -> None:
    """The first two code blocks are one line each: the main job on a shipped part, and the tests."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    job, tests = re.findall(r"^```\n(.*?)\n```$", text, re.MULTILINE | re.DOTALL)[:2]
    part = re.search(r"bendwright prepare (\S+) .*--out (out/\S+)$", job)
    assert "\n" not in job + tests
    assert job.startswith("python3 -m venv .venv && ")
    assert tests.startswith("python3 -m venv .venv && ")
    assert part is not None
    assert (ROOT / part[1]).is_file()
    assert tests.endswith(" -m pytest")


def test_every_requirement_is_locked() -> None:
    """Each package the project asks for stands in the list of locked versions, with its hashes and no address."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [*project["dependencies"], *project["optional-dependencies"]["test"]]
    locked = (ROOT / "requirements-lock.txt").read_text(encoding="utf-8")
    names = [re.split(r"[<>=\[ ]", item)[0].lower() for item in wanted]
    assert [
        name for name in names if not re.search(rf"^{re.escape(name)}==\S+ .*\\\n +--hash=", locked, re.MULTILINE)
    ] == []
    assert "://" not in locked
