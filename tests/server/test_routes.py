"""Every module of routes is served."""

from pathlib import Path

from server import routes


def test_no_module_of_routes_is_left_out():
    modules = {path.stem for path in Path(routes.__file__).parent.glob("*.py")} - {"__init__"}
    assert modules == set(routes.RESOURCES)
