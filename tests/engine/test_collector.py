"""The collector is on again after it was paused, however that ended, and only if it was on."""

from __future__ import annotations

import gc

import pytest

from engine import collector


def test_it_is_off_inside_and_on_again_behind() -> None:
    assert gc.isenabled()
    with collector.paused():
        assert not gc.isenabled()
        with collector.paused():
            assert not gc.isenabled()
        assert not gc.isenabled()
    assert gc.isenabled()


def test_it_is_on_again_after_an_error() -> None:
    with pytest.raises(ValueError, match="of the tree"), collector.paused():
        raise ValueError("of the tree")
    assert gc.isenabled()
