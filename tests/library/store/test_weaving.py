"""Two orders of the same things as one."""

from hypothesis import given
from hypothesis import strategies as st

from library.store.weaving import woven

orders = st.lists(st.sampled_from("abcdefg"), unique=True)


def test_what_only_the_second_has_follows_whom_it_followed_there():
    assert woven("abc", "axbz") == ["a", "x", "b", "z", "c"]
    assert woven("bc", "abc") == ["a", "b", "c"]


@given(orders, orders)
def test_nothing_is_lost_or_doubled_and_the_first_keeps_its_order(first, second):
    both = woven(first, second)
    assert sorted(both) == sorted({*first, *second})
    assert [each for each in both if each in first] == first
