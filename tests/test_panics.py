"""A panic of the core is an exception like others: it says where, and nothing reaches standard error."""

import pytest

import measured
import squarewright as sw
from squarewright import _core


@pytest.mark.parametrize("on_worker", [False, True])
def test_a_panic_is_an_internal_error_that_says_what_to_report(on_worker, capfd):
    with pytest.raises(sw.InternalError) as caught:
        _core._panic(on_worker)
    assert isinstance(caught.value, Exception) and caught.value.code == "INTERNAL"
    assert "on purpose (panic.rs, line" in caught.value.what
    assert "report these words" in caught.value.hint
    assert capfd.readouterr().err == ""


def test_the_package_works_on_after_a_panic():
    for _ in range(3):
        with pytest.raises(sw.InternalError):
            _core._panic(True)
    assert sw.Grid([[0]], ["#336699"]).rows == 1


def test_the_command_ends_in_one_line_and_its_own_status(tmp_path):
    script = (
        "import sys, squarewright.pictures as pictures\n"
        "from squarewright import _core, command\n"
        "pictures.load = lambda source, **settings: _core._panic(True)\n"
        "sys.exit(command.main(['plan', 'a.png', '--panel', '12in x 12in']))\n"
    )
    answer = measured.python("-c", script, folder=tmp_path)
    assert answer.status == 70
    assert answer.err.startswith("squarewright: INTERNAL: ") and answer.err.count("\n") == 1
