"""Public holidays as proposals for closed days; the room decides about each."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from library.store.errors import WrongUse


@dataclass(frozen=True, slots=True)
class PublicDay:
    """A day that may be one on which the room is closed."""

    day: dt.date
    name: str


def propose_closed_days(
    country: str, state: str | None, first: dt.date, last: dt.date
) -> tuple[PublicDay, ...]:
    """Public holidays between two days, both included, in order.

    Not every one closes a room, and rooms close on other days too; these are proposals.

    Args:
        country: ISO 3166-1 code of two letters, such as US.
        state: Code of a state or province, or None.
        first: First day.
        last: Last day.

    Raises:
        WrongUse: If the country or the state is not known.
    """
    import holidays

    years = range(first.year, last.year + 1)
    place = (state or "").upper() or None
    unknown = WrongUse(
        f"no public holidays are known for '{country[:40]} {(state or '')[:40]}'; "
        "write a country's code of two letters, such as US, and a state's, such as NC"
    )
    # The package looks a country up among all its names, and some of those are no country.
    if country.upper() not in holidays.list_supported_countries():
        raise unknown
    try:
        known = holidays.country_holidays(country.upper(), subdiv=place, years=years)
    except NotImplementedError as error:
        raise unknown from error
    return tuple(
        PublicDay(day, name) for day, name in sorted(known.items()) if first <= day <= last
    )
