"""A card in the dress of a theme."""

from hypothesis import given, settings
from hypothesis import strategies as st

from library.cards.values import Step
from library.units.dressing import dress, fill, props_used
from tests.builders import a_card, a_material_line, a_placement, a_theme

RAIN = a_card(
    title="Sponge rain on {{catcher}}",
    body="Rain falls on the {{catcher}} and the {{ floats }}.",
    props={"catcher": "shallow lids", "floats": "corks"},
    materials=(a_material_line("{{catcher}}", "4 per setup"),),
    steps=(Step("Wash the {{catcher}}", 5),),
)
names = st.sampled_from(["catcher", "floats", "hidden", "color"])
words = st.text(alphabet="abcdefgh ", min_size=1, max_size=12).filter(str.strip)


def test_the_placement_wins_over_the_theme_and_the_theme_over_the_card():
    """SUP27: placement, theme, card default; items and amounts are dressed too."""
    theme = a_theme(props={"catcher": "silk leaves", "floats": "bark boats"})
    dressed = dress(RAIN, theme, a_placement(props={"catcher": "maple leaves"}))
    assert dressed.card.title == "Sponge rain on maple leaves"
    assert dressed.card.body == "Rain falls on the maple leaves and the bark boats."
    assert dressed.card.materials[0].item == "maple leaves"
    assert dressed.card.steps[0].do == "Wash the maple leaves"
    assert dressed.defaults == ()


def test_a_prop_that_the_theme_lacks_is_listed_with_the_default_shown():
    """SUP27."""
    dressed = dress(RAIN, a_theme(props={"catcher": "silk leaves"}))
    assert dressed.defaults == ("floats",)
    assert dressed.props["floats"] == "corks"
    assert dressed.card.body.endswith("the silk leaves and the corks.")


def test_an_empty_word_of_a_theme_counts_as_lacking():
    assert dress(RAIN, a_theme(props={"catcher": ""})).card.title == "Sponge rain on shallow lids"


def test_a_prop_without_any_word_stays_visible_and_is_named():
    dressed = dress(a_card(body="Hide the {{hidden}}."))
    assert dressed.unknown == ("hidden",)
    assert dressed.card.body == "Hide the {{hidden}}."


@given(st.dictionaries(names, words), st.lists(st.one_of(words, names.map("{{{{{}}}}}".format))))
@settings(max_examples=80, deadline=None)
def test_dressing_and_back_gives_the_default_card(props, parts):
    """Dressing in a theme and then in nothing shows the card's own words again."""
    card = a_card(body=" ".join(parts), props={name: f"own {name}" for name in props})
    in_theme = dress(card, a_theme(props=props))
    back = dress(in_theme.bare)
    default = dress(card)
    assert (back.card.body, back.card.title) == (default.card.body, default.card.title)
    assert back.card.body == fill(card.body, card.props)
    assert in_theme.bare is card


@given(st.text(max_size=60), st.dictionaries(names, words))
@settings(max_examples=80, deadline=None)
def test_text_without_props_is_never_changed(text, props):
    if "{{" not in text:
        assert fill(text, props) == text


def test_props_are_found_in_every_text_of_the_card():
    assert props_used(RAIN) == ("catcher", "floats")
