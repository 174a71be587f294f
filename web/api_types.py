"""Writes the types of the pages anew from the bench's own description: `python api_types.py` in this folder (needs `npm ci`).

The first line of `src/api/schema.d.ts` carries the digest of the description it was written from; a test compares it.
"""

from __future__ import annotations

import hashlib
import json
import subprocess
import tempfile
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
SCHEMA = HERE / "src" / "api" / "schema.d.ts"
MARK = "// Written by web/api_types.py from the description with the digest "
ONLY_WORDS = {"title", "description", "summary", "default", "examples", "tags", "operationId"}


def description() -> dict[str, Any]:
    """The OpenAPI description of the bench of this tree."""
    from bendwright.bench.app import create_app
    from bendwright.bench.settings import BenchSettings

    with tempfile.TemporaryDirectory() as folder:
        return create_app(BenchSettings(data=Path(folder))).openapi()


def digest_of(described: dict[str, Any]) -> str:
    """SHA-256 over what types depend on: addresses, parameters, bodies, answers and shapes, without words."""
    shapes = described.get("components", {}).get("schemas", {})
    text = json.dumps([_bare(described["paths"]), _bare(shapes)], sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


def _bare(item: Any) -> Any:
    """Without words for people; a property that is called ``title`` is no such word and stays."""
    if isinstance(item, dict):
        out = {}
        for name, value in item.items():
            if name == "properties" and isinstance(value, dict):
                out[name] = {inner: _bare(shape) for inner, shape in value.items()}
            elif name not in ONLY_WORDS:
                out[name] = _bare(value)
        return out
    return [_bare(value) for value in item] if isinstance(item, list) else item


def main() -> None:
    """Write the types."""
    described = description()
    with tempfile.TemporaryDirectory() as folder:
        source = Path(folder, "openapi.json")
        source.write_text(json.dumps(described), encoding="utf-8")
        command = ["node", "node_modules/openapi-typescript/bin/cli.js", str(source), "--output", str(SCHEMA)]
        subprocess.run(command, cwd=HERE, check=True)
    text = SCHEMA.read_text(encoding="utf-8")
    SCHEMA.write_text(f"{MARK}{digest_of(described)}; do not edit.\n{text}", encoding="utf-8")


if __name__ == "__main__":
    main()
