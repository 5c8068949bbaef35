"""When lumber is ready beside another solver: two cases of the campaign, with few lots."""

from campaigns import ready_lots


def test_two_cases_beside_another_solver():
    winter = ready_lots.CASES[3], ready_lots.CASES[10]
    ready_lots.agree([ready_lots.beside(case, lots=16, draws=512) for case in winter], loose=1.5)
