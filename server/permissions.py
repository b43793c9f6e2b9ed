"""Who may open which address once people sign in: one row for each route, and nothing goes without.

A route that has no row is closed to all but the lead, and a test names it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum


class Need(IntEnum):
    """Who somebody has to be at least. Each may open everything that the one before may."""

    ANYONE = 0
    """Also a stranger at the door."""
    TABLET = 1
    """The shared tablet on the shelf: the day, and ticking it off."""
    READER = 2
    CONTRIBUTOR = 3
    LEAD = 4


@dataclass(frozen=True, slots=True)
class Rule:
    """What a route asks for, and what is noted when it changed something."""

    need: Need
    did: str = ""
    """For the lead's list, with parts of the address in braces; never anything about a child."""


def _open_to(need: Need, *endpoints: str) -> dict[str, Rule]:
    return {endpoint: Rule(need) for endpoint in endpoints}


RULES: dict[str, Rule] = {
    # Reading. Which room's children a page shows is decided by whose room it is, not here.
    **_open_to(Need.ANYONE, "static", "status.show"),
    **_open_to(Need.TABLET, "today.show"),
    **_open_to(Need.READER, "find.index", "activities.show", "themes.index", "themes.show"),
    **_open_to(Need.READER, "photos.show", "units.later", "prep.show", "prep.calendar"),
    **_open_to(Need.READER, "units.show", "printing.index", "printing.show", "printing.edit"),
    **_open_to(Need.READER, "unitviews.coverage", "unitviews.local_rules", "unitviews.fewer"),
    **_open_to(Need.READER, "api.openapi", "api.search", "api.activities", "api.activity"),
    **_open_to(Need.READER, "api.centers", "api.materials", "api.themes", "api.theme"),
    **_open_to(Need.READER, "api_plan.totals", "api_plan.goals", "api_plan.room"),
    **_open_to(Need.READER, "api_plan.local_rules", "api_plan.fewer"),
    **_open_to(Need.READER, "api.unit", "api.unit_check", "api.unit_supplies", "api.unit_prep"),
    **_open_to(Need.READER, "api.unit_supply_list"),
    **_open_to(Need.READER, "api_years.years", "api_years.versions"),
    **_open_to(Need.CONTRIBUTOR, "api_years.clone"),
    **_open_to(Need.READER, "lookback.show", "lookback.years", "versions.index", "versions.show"),
    **_open_to(Need.READER, "supplies.show", "materials.index", "materials.show"),
    **_open_to(Need.CONTRIBUTOR, "themes.new", "themes.edit", "unitviews.carry"),
    **_open_to(Need.CONTRIBUTOR, "clone.show", "clone.choose", "renaming.show"),
    **_open_to(Need.CONTRIBUTOR, "jots.index", "jots.find", "jots.day", "jots.edit"),
    **_open_to(Need.CONTRIBUTOR, "room.show", "room.edit", "room.holidays", "review.index"),
    **_open_to(Need.CONTRIBUTOR, "review.picture", "api_review.review"),
    **_open_to(Need.CONTRIBUTOR, "writing.new", "writing.edit", "review.alike", "plainfile.show"),
    **_open_to(Need.CONTRIBUTOR, "removing.show"),
    **_open_to(Need.LEAD, "room.year"),
    # Changing.
    "themes.create": Rule(Need.CONTRIBUTOR, "began a theme"),
    "themes.update": Rule(Need.CONTRIBUTOR, "changed the theme {theme_id}"),
    "themes.begin_unit": Rule(Need.CONTRIBUTOR, "began a unit of {theme_id}"),
    "review.mark": Rule(Need.CONTRIBUTOR, "marked {card_id} as ready or as a draft"),
    "review.comment": Rule(Need.CONTRIBUTOR, "commented on {card_id}"),
    "review.remove_comment": Rule(Need.CONTRIBUTOR, "took out a comment on {card_id}"),
    "review.take_out_picture": Rule(Need.CONTRIBUTOR, "took out a picture of no card"),
    "review.join": Rule(Need.CONTRIBUTOR, "made one card of two"),
    "plainfile.save": Rule(Need.CONTRIBUTOR, "changed the file of {card_id}"),
    "removing.remove": Rule(Need.CONTRIBUTOR, "removed the card {card_id}"),
    "writing.create": Rule(Need.CONTRIBUTOR, "wrote a card"),
    "writing.update": Rule(Need.CONTRIBUTOR, "changed the card {card_id}"),
    "writing.merge": Rule(Need.CONTRIBUTOR, "put two changes of {card_id} together"),
    "renaming.save": Rule(Need.CONTRIBUTOR, "gave the card {card_id} another file name"),
    "photos.add": Rule(Need.CONTRIBUTOR, "added a picture to {card_id}"),
    "photos.remove": Rule(Need.CONTRIBUTOR, "took a picture out of {card_id}"),
    "units.place": Rule(Need.CONTRIBUTOR, "changed the plan {theme}/{name}"),
    "units.edit": Rule(Need.CONTRIBUTOR, "changed the plan {theme}/{name}"),
    "units.edit_weeks": Rule(Need.CONTRIBUTOR, "changed the weeks of {theme}/{name}"),
    "units.merge": Rule(Need.CONTRIBUTOR, "put two changes of {theme}/{name} together"),
    "units.undo": Rule(Need.CONTRIBUTOR, "took back a change of {theme}/{name}"),
    "clone.save": Rule(Need.CONTRIBUTOR, "cloned {theme}/{name}"),
    "lookback.save": Rule(Need.CONTRIBUTOR, "looked back on {theme}/{name}"),
    "versions.remove": Rule(Need.CONTRIBUTOR, "removed a unit"),
    "versions.restore": Rule(Need.CONTRIBUTOR, "brought back a version of {file}"),
    "jots.create": Rule(Need.CONTRIBUTOR, "kept a jot"),
    "jots.update": Rule(Need.CONTRIBUTOR, "changed a jot"),
    "prep.change": Rule(Need.CONTRIBUTOR, "changed the prep of {theme}/{name}"),
    "supplies.change": Rule(Need.CONTRIBUTOR, "changed the stock at the closet"),
    "supplies.count": Rule(Need.CONTRIBUTOR, "said who does {theme}/{name}"),
    "supplies.arrive": Rule(Need.CONTRIBUTOR, "put away what arrived"),
    "unitviews.carry_on": Rule(Need.CONTRIBUTOR, "carried {theme}/{name} over"),
    "room.update": Rule(Need.CONTRIBUTOR, "changed the room: {section}"),
    "materials.measure": Rule(Need.CONTRIBUTOR, "measured {name}"),
    "materials.state_label": Rule(Need.CONTRIBUTOR, "wrote down what the label of {name} names"),
    "materials.choose_lists": Rule(Need.CONTRIBUTOR, "chose the lists of allergens"),
    "decisions.record": Rule(Need.CONTRIBUTOR, "wrote down what the room decided"),
    "decisions.end": Rule(Need.CONTRIBUTOR, "ended what the room decided"),
    "room.close_days": Rule(Need.CONTRIBUTOR, "closed the room on public holidays"),
    "room.choose": Rule(Need.READER, ""),
    "room.remove_child": Rule(Need.CONTRIBUTOR, "removed what was known of a child"),
    "room.create": Rule(Need.LEAD, "began a room"),
    "room.load": Rule(Need.LEAD, "loaded a room file"),
    "room.load_example": Rule(Need.LEAD, "loaded the example room"),
    "room.remove_example": Rule(Need.LEAD, "removed the example room"),
    "room.export": Rule(Need.LEAD, "saved a room as a file"),
    "room.remove": Rule(Need.LEAD, "removed a room"),
    "room.clear_year": Rule(Need.LEAD, "cleared a room at the end of the year"),
    # Coming in and going out.
    **_open_to(Need.ANYONE, "door.sign_in", "door.enter", "door.join", "door.accept"),
    **_open_to(Need.ANYONE, "door.code", "door.finish", "door.judge"),
    **_open_to(Need.ANYONE, "door.tablet", "door.pair", "trust.show", "trust.certificate"),
    "door.sign_out": Rule(Need.TABLET, "signed out"),
    # One's own account, and other people's.
    **_open_to(Need.READER, "own.show", "own.change_password", "own.begin_code"),
    **_open_to(Need.READER, "own.confirm_code", "own.end_code", "own.seen"),
    "own.end_session": Rule(Need.READER, "signed out another browser of theirs"),
    "own.sign_out_everywhere": Rule(Need.READER, "signed out everywhere"),
    **_open_to(Need.LEAD, "people.index", "people.audit", "people.without_code"),
    "people.invite": Rule(Need.LEAD, "invited somebody"),
    "people.withdraw": Rule(Need.LEAD, "took an invitation back"),
    "people.change": Rule(Need.LEAD, "changed role or rooms of a person"),
    "people.end": Rule(Need.LEAD, "closed an account"),
    "people.open_again": Rule(Need.LEAD, "opened an account again"),
    "people.link": Rule(Need.LEAD, "made a one-time link for a person"),
    "people.sign_out": Rule(Need.LEAD, "signed a person out everywhere"),
    "people.pair": Rule(Need.LEAD, "made a code for a tablet"),
    "people.end_tablet": Rule(Need.LEAD, "ended a tablet"),
}
"""Endpoint → rule. Where none is noted, the library notes it itself or there is nothing to note."""


def rule_of(endpoint: str) -> Rule:
    """The rule of a route; without a row only the lead may."""
    return RULES.get(endpoint, Rule(Need.LEAD, f"used {endpoint}"))
