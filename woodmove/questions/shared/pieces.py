"""Boards or strips of a request: a file of them, or a list."""

from woodmove.contract.params import Request
from woodmove.contract.refusal import Refusal
from woodmove.files.pieces.table import Pieces, PieceTable, pieces_of_text, read_pieces


def one_of(request: Request, in_file: str, in_text: str, table: PieceTable) -> Pieces | None:
    """The pieces of a request that names a file or lists them; None where it does neither.

    :param in_file: name of the parameter that holds the path
    :param in_text: name of the one that holds them in one text
    :raises Refusal: both are given
    """
    path, text = request[in_file], request[in_text]
    if path is not None and text is not None:
        raise Refusal(
            f"TWO_{table.kind.upper().replace(' ', '_')}S",
            f"Both a {table.kind} file and a list of {table.noun}s are given.",
            f"A {table.kind} is a file or a list.",
            "Leave one of them out.",
            fields=(in_file, in_text),
            exit_code=2,
        )
    if path is not None:
        return read_pieces(path, table, request.units)
    return None if text is None else pieces_of_text(text, f"the list of {table.noun}s", table, request.units)
