"""The rows of a list that could not be read, as its answer tells them."""

from collections.abc import Iterator, Sequence

from woodmove.contract.notes import Warning, warning
from woodmove.contract.refusal import Refusal

BAD_ROW = warning("BAD_ROW", "Line {line} is left out: {wrong}", line=None, wrong=None)
MORE_BAD_ROWS = warning("MORE_BAD_ROWS", "{count} more rows are left out.", count=None)


def left_out(faults: Sequence[Refusal], most: int | None = None) -> Iterator[Warning]:
    """Each row by its line, and how many more there are.

    :param most: that are told by their line, all where it is None
    """
    for fault in faults[:most]:
        yield BAD_ROW(line=f"{fault.line} of {fault.file}", wrong=fault.wrong)
    if most is not None and len(faults) > most:
        yield MORE_BAD_ROWS(count=len(faults) - most)
