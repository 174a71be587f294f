"""Starting the bench: where it may be, and where it is."""

from __future__ import annotations

import socket
import stat
from pathlib import Path

import pytest
from benching import API, a_bench

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


@pytest.mark.origin("law", "other accounts of the machine do not read the drawings")
def test_the_folder_of_data_belongs_to_its_owner_alone(tmp_path: Path) -> None:
    """Mode 700 on the folder that the bench makes, 600 on the database in it."""
    data = tmp_path / "kept" / "bench"
    with a_bench(data) as bench:
        assert bench.get(f"{API}/about").status_code == 200
        assert stat.S_IMODE(data.stat().st_mode) == 0o700
        assert stat.S_IMODE((data / "bench.sqlite").stat().st_mode) == 0o600
