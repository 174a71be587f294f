"""Starting the bench: where it may be, and where it is."""

from __future__ import annotations

import asyncio
import socket
import stat
from pathlib import Path

import pytest
from benching import API, a_bench

from bendwright.bench.serve import listening_at, serve
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


@pytest.mark.origin(
    "law", "what is small is sent at once: an answer that waits for a full packet waits 40 ms for the other side's word"
)
def test_small_answers_are_sent_at_once() -> None:
    """Connections taken on the bench's socket have TCP_NODELAY."""

    async def sends_at_once() -> int:
        got: asyncio.Future[int] = asyncio.get_running_loop().create_future()

        async def taken(_reads: asyncio.StreamReader, writes: asyncio.StreamWriter) -> None:
            line = writes.get_extra_info("socket")
            got.set_result(line.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY))
            writes.close()

        listening = listening_at("127.0.0.1", 0)
        async with await asyncio.start_server(taken, sock=listening):
            _, writes = await asyncio.open_connection(*listening.getsockname())
            answer = await got
            writes.close()
        return answer

    assert asyncio.run(sends_at_once()) != 0
