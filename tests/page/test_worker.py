"""Work in another process is answered, told to have failed, or given up; it always goes on."""

import asyncio
from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from stand_in_bench import StandIn

from legend.failures import PlainError
from legend.page.messages import Drawing
from legend.page.worker import Worker


def _with_worker(do: Callable[[Worker], Awaitable[None]]) -> None:
    worker = Worker(StandIn, Path("panel.toml"), 60.0)
    try:
        asyncio.run(do(worker))
    finally:
        worker.end()


def test_it_keeps_what_it_knows_until_it_is_renewed() -> None:
    async def do(worker: Worker) -> None:
        first, second = [await worker.ask("draw", 1, "a") for _ in range(2)]
        assert isinstance(first, Drawing)
        assert (first.title, second.title) == ("panel.toml, call 1", "panel.toml, call 2")
        with pytest.raises(PlainError, match="as it was told to"):
            await worker.ask("draw", 1, "fail")
        with pytest.raises(PlainError, match="did not foresee"):
            await worker.ask("no such thing")
        await worker.renew()
        assert (await worker.ask("draw", 1, "a")).title == "panel.toml, call 1"

    _with_worker(do)


@pytest.mark.parametrize(
    ("text", "patience", "words"),
    [
        ("slow", 0.4, r"more than 0\.4 seconds of work"),
        ("asleep", 0.1, r"did not end in 0\.6 seconds"),
        ("die", 60.0, "ended of itself"),
    ],
)
def test_what_does_not_end_or_dies_is_begun_anew(text: str, patience: float, words: str) -> None:
    async def do(worker: Worker) -> None:
        await worker.ask("pick", 1, (0.0, 0.0))
        worker.patience = patience
        with pytest.raises(PlainError, match=words):
            await worker.ask("draw", 1, text)
        worker.patience = 60.0
        assert isinstance(await worker.ask("draw", 1, "a"), Drawing)

    _with_worker(do)


def test_waiting_is_no_work() -> None:
    async def do(worker: Worker) -> None:
        await worker.ask("pick", 1, (0.0, 0.0))
        worker.patience = 0.3
        assert isinstance(await worker.ask("draw", 1, "waits"), Drawing)

    _with_worker(do)


def test_what_is_worked_on_is_stopped_and_nothing_else() -> None:
    async def do(worker: Worker) -> None:
        worker.stop()  # when there is nothing
        await worker.ask("pick", 1, (0.0, 0.0))
        worker.stop()
        assert (await worker.ask("draw", 1, "a")).title == "panel.toml, call 1"
        slow = asyncio.create_task(worker.ask("draw", 1, "asleep"))
        waits = asyncio.create_task(worker.ask("draw", 1, "a"))
        await asyncio.sleep(0.3)
        worker.stop()
        with pytest.raises(PlainError, match="was stopped"):
            await slow
        assert isinstance(await waits, Drawing)

    _with_worker(do)
