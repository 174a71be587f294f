"""How the bench is served."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from bendwright.bench.security.settings import SecuritySettings
from bendwright.wanted.job_words import DEMO_SHOP as DEMO_SHOP

PORT = 4117


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchSettings:
    """Folder of what is kept, folders of the shops by id (the demo shop is always there), where to listen, processes for quick answers
    and for plans. ``security.lan`` lets other machines in, by passphrase only. ``address`` is what a tablet of the shop calls the bench
    (``http://NAME:PORT``, "" = as it is served): the codes on setup sheets lead there. ``quota_bytes`` is the most that may be kept.
    """

    data: Path
    shops: dict[str, Path] = field(default_factory=dict)
    host: str = "127.0.0.1"
    port: int = PORT
    address: str = ""
    security: SecuritySettings = field(default_factory=SecuritySettings)
    quick_workers: int = 2
    plan_workers: int = 1
    quota_bytes: int = 20_000_000_000

    @property
    def database(self) -> str:
        """Address of the store."""
        return f"sqlite:///{self.data / 'bench.sqlite'}"
