"""What several brakes say of a part they cannot make, each thing said once."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from bendwright.findings import Finding
from bendwright.said import in_both, in_german, listed


def said_once(refused: Sequence[tuple[str, Finding]]) -> list[Finding]:
    """Findings of brakes (id, finding) in the order they came; what differs only in the brake is one finding that names them all."""
    groups: dict[tuple[str, str, str], list[tuple[str, Finding]]] = {}
    for brake, finding in refused:
        key = (finding.code, finding.sentence.replace(f"brake {brake}", "brake ?"), finding.cure)
        groups.setdefault(key, []).append((brake, finding))
    return [_of_all([brake for brake, _ in group], group[0][1]) for group in groups.values()]


def _of_all(brakes: Sequence[str], finding: Finding) -> Finding:
    names = list(dict.fromkeys(brakes))
    if len(names) == 1:
        return replace(finding, where=f"brake {names[0]}")
    words, one = f"brakes {listed(names)}", re.escape(names[0])
    german = in_german(words)

    def of_all(text: str) -> str:
        text = re.sub(rf"\bauf Presse {one}(?![\w-])", f"auf den {german}", text)
        return re.sub(rf"\bPresse {one}(?![\w-])", german, text).replace(f"brake {names[0]}", words)

    return replace(finding, where=words, sentence=in_both(of_all, finding.sentence))
