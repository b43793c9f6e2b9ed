"""One module for each resource. They parse, call one library function, and choose a page."""

from __future__ import annotations

from flask import Blueprint


def blueprints() -> tuple[Blueprint, ...]:
    """Every resource, in the order of the navigation."""
    from server.routes.activities import bp as activities
    from server.routes.api import bp as api
    from server.routes.api_plan import bp as api_plan
    from server.routes.api_years import bp as api_years
    from server.routes.clone import bp as clone
    from server.routes.decisions import bp as decisions
    from server.routes.door import bp as door
    from server.routes.find import bp as find
    from server.routes.jots import bp as jots
    from server.routes.lookback import bp as lookback
    from server.routes.materials import bp as materials
    from server.routes.own import bp as own
    from server.routes.people import bp as people
    from server.routes.photos import bp as photos
    from server.routes.plainfile import bp as plainfile
    from server.routes.prep import bp as prep
    from server.routes.printing import bp as printing
    from server.routes.removing import bp as removing
    from server.routes.renaming import bp as renaming
    from server.routes.review import bp as review
    from server.routes.room import bp as room
    from server.routes.status import bp as status
    from server.routes.supplies import bp as supplies
    from server.routes.themes import bp as themes
    from server.routes.today import bp as today
    from server.routes.trust import bp as trust
    from server.routes.units import bp as units
    from server.routes.unitviews import bp as unitviews
    from server.routes.versions import bp as versions
    from server.routes.writing import bp as writing

    return (
        find,
        activities,
        renaming,
        photos,
        writing,
        plainfile,
        removing,
        themes,
        units,
        unitviews,
        supplies,
        prep,
        clone,
        lookback,
        printing,
        today,
        jots,
        room,
        decisions,
        materials,
        review,
        versions,
        api,
        api_plan,
        api_years,
        status,
        door,
        own,
        people,
        trust,
    )
