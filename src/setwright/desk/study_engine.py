"""Who does the work of a study: this process, several on this machine, or a cluster at an address."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from importlib import import_module
from typing import TYPE_CHECKING

from setwright.basis.errors import BadInput
from setwright.desk.study_case import run_task

if TYPE_CHECKING:
    from setwright.desk.study_case import Row
    from setwright.desk.study_file import Study

ENGINES = ("serial", "processes", "cluster")
Done = tuple[int, "list[Row]"]


def _numbered(study: Study, number: int) -> Done:
    return number, run_task(study, number)


def work(
    study: Study, numbers: Sequence[int], *, engine: str = "serial", workers: int = 0, address: str | None = None
) -> Iterator[Done]:
    """Do tasks of a study and give each back as soon as it is done, in whatever order that is.

    Parameters
    ----------
    study : Study
        As read.
    numbers : sequence of int
        Places of the tasks.
    engine : str
        `serial`, `processes` of this machine, or `cluster` at an address. The rows are the same on each.
    workers : int
        Processes; 0 takes one a core.
    address : str, optional
        Of the scheduler of a cluster, such as `tcp://10.0.0.5:8786`; its workers need the same setwright.

    Raises
    ------
    BadInput
        When a case cannot be worked out, or nobody answers at the address.
    """
    if engine == "serial":
        for number in numbers:
            yield _numbered(study, number)
    elif engine == "processes":
        yield from _processes(study, numbers, workers)
    elif engine == "cluster":
        yield from _cluster(study, numbers, address)
    else:
        raise BadInput("no such engine", field="--engine", found=engine, allowed=", ".join(ENGINES))


def _processes(study: Study, numbers: Sequence[int], workers: int) -> Iterator[Done]:
    from joblib import Parallel, delayed

    # One task a time: they take seconds each, and a killed study then loses no more than those under way.
    parallel = Parallel(n_jobs=workers or -1, return_as="generator_unordered", batch_size=1)
    yield from parallel(delayed(_numbered)(study, number) for number in numbers)


def _cluster(study: Study, numbers: Sequence[int], address: str | None) -> Iterator[Done]:
    if not address:
        raise BadInput("a cluster needs the address of its scheduler", field="--address", allowed="tcp://HOST:PORT")
    try:
        distributed = import_module("distributed")
    except ModuleNotFoundError:
        raise BadInput(
            "a cluster needs one package more", field="--engine", found="cluster",
            allowed='pip install "setwright[spread]"',
        ) from None  # fmt: skip
    try:
        client = distributed.Client(address, timeout="10s")
    except (OSError, ValueError, TimeoutError) as error:
        raise BadInput("no scheduler answers here", field="--address", found=address) from error
    with client:
        shared = client.scatter(study, broadcast=True)
        under_way = client.map(lambda number, one: _numbered(one, number), list(numbers), one=shared, pure=False)
        for future in distributed.as_completed(under_way):
            yield future.result()
            future.release()
