"""What was worked out of the same things comes again, and goes when they go."""

import gc
from dataclasses import dataclass

from library.store.workings import MOST, KeptWith


@dataclass(frozen=True, slots=True, weakref_slot=True)
class Owner:
    name: str = "Fern Room"


def test_the_same_things_are_worked_out_once():
    kept, owner, card, times = KeptWith(), Owner(), ["card"], []
    for _ in range(3):
        assert kept.of(owner, (card,), 1, lambda: times.append("worked") or len(times)) == 1
    assert len(times) == 1


def test_other_things_are_worked_out_though_they_look_alike():
    """Of the first argument and the second it counts which they are, of the third what it says."""
    kept, owner, card = KeptWith(), Owner(), ["card"]
    assert kept.of(owner, (card,), 1, lambda: "first") == "first"
    assert kept.of(owner, (["card"],), 1, lambda: "another card") == "another card"
    assert kept.of(owner, (card,), 2, lambda: "another number") == "another number"
    assert kept.of(Owner(), (card,), 1, lambda: "another room") == "another room"
    assert kept.of(owner, (card,), int("1"), lambda: "not again") == "first"


def test_what_was_worked_out_goes_with_its_owner():
    kept: KeptWith[str] = KeptWith()
    owner = Owner()
    kept.of(owner, (), None, lambda: "Ada")
    assert kept._kept
    del owner
    gc.collect()
    assert not kept._kept


def test_no_owner_keeps_without_end():
    kept, owner = KeptWith(), Owner()
    for number in range(MOST + 10):
        kept.of(owner, (), number, lambda: number)  # noqa: B023 - worked out at once
    assert len(kept._kept[id(owner)]) <= MOST
