"""Which board gives which parts: `mixes`, all that a board can give; `first_fit`, a quick way to start from;
`choose`, the boards to cut into. What is said of it stands in :mod:`woodmove.advice.boards.cut_list`."""
