"""Boards, parts or strips of a request: the path of a file, or a list in one text."""

from woodmove.contract.params import Param, Request
from woodmove.contract.refusal import Refusal, Refusals
from woodmove.files.pieces.table import Pieces, PieceTable, names_file, pieces_of_text, read_pieces


def pieces_of(request: Request, told: Param[str], table: PieceTable) -> Pieces | None:
    """The pieces that a request tells; None where it tells none.

    :param told: the parameter that holds a path, or the pieces in one text
    :raises Refusal: no such file, or a text that is no list of such pieces
    """
    text = request.get(told)
    if text is None:
        return None
    if names_file(text):
        try:
            return read_pieces(text, table, request.units)
        except Refusal as fault:
            if fault.code == "NO_FILE":
                fault.instead = (
                    f"Type the path of a {table.kind} file, or the {table.noun}s themselves: '{table.pairs}'."
                )
            raise
    listed = pieces_of_text(text, f"the list of {table.noun}s", table, request.units)
    if listed.faults:
        # Of a file a row is left out and told; what is typed is typed again.
        raise Refusals([_to_type_again(fault, told, table) for fault in listed.faults])
    return listed


def _to_type_again(fault: Refusal, told: Param[str], table: PieceTable) -> Refusal:
    return Refusal(
        fault.code,
        f"{table.noun.capitalize()} {fault.line}: {fault.wrong}",
        f"Every {table.noun} of the text counts.",
        "Mend it, or take it out.",
        fields=(told.name,),
    )
