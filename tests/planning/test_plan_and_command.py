"""C9: the same log in the plan and in the single command gives the same dates. Twenty logs are a campaign."""

from campaigns import plan_and_command


def test_random_logs_say_the_same_in_both(cli, tmp_path):
    found = plan_and_command.compare(tmp_path, 3, draws=128)
    assert found.differing == {}
    assert found.dated
