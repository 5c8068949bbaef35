"""Twenty random logs, asked of the plan and of the single command."""

from campaigns import plan_and_command


def test_twenty_logs(tmp_path) -> None:
    found = plan_and_command.compare(tmp_path, 20)
    print(f"\n{found.cases} logs, {found.dated} of them with a day")
    assert found.differing == {}
    assert found.dated >= 10
