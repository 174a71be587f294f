"""Starting the bench: where it may be, and where it is."""

from __future__ import annotations

import socket
from pathlib import Path

import pytest

from bendwright.bench.serve import serve
from bendwright.bench.settings import BenchSettings
from bendwright.findings import InputError


@pytest.mark.origin("law", "one port, one program")
def test_a_port_in_use(tmp_path: Path) -> None:
    """B210 names host and port and says why."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(InputError) as refused:
            serve(BenchSettings(data=tmp_path, port=port), opened=None, said=print)
    finding = refused.value.findings[0]
    assert finding.code == "B210"
    assert str(port) in finding.sentence


@pytest.mark.origin("law", "others come in when they are let in, not by an address")
def test_an_address_that_others_reach(tmp_path: Path) -> None:
    """B412: without --lan the bench listens to this machine only."""
    with pytest.raises(InputError) as refused:
        serve(BenchSettings(data=tmp_path, host="0.0.0.0", port=0), opened=None, said=print)
    assert refused.value.findings[0].code == "B412"
