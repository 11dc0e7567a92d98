"""A template in another language: our words change, and nothing else does."""

import pytest
from django.template import Context, Engine
from tests.web.languages.small import language

from thawline.web.languages import ours
from thawline.web.languages.retold import retold, words_of

SPANISH = language(
    {
        "Given": "Administradas",
        "{} of {} doses": "de {2} dosis, {1}",
        "Left": "Se fue",
        "not known": "no se sabe",
        "dose,doses": "dosis,dosis",
        "Scan the card": "Escanee la tarjeta",
        "Opened at {}": "Abierto a las {}",
        "Held": "Retenido",
        "ready": "listo",
    }
)


@pytest.fixture(autouse=True)
def small(monkeypatch):
    """Let pages know these words alone."""
    monkeypatch.setattr(ours, "catalogues", lambda: {"es": SPANISH})
    ours._told.cache_clear()
    yield
    ours._told.cache_clear()


def shown(source: str, **told) -> str:
    """Return the page of a template in Spanish."""
    engine = Engine(builtins=["thawline.web.words", "thawline.web.languages.ours"])
    return engine.from_string(retold(source, SPANISH)).render(Context(told))


@pytest.mark.parametrize(
    ("source", "page"),
    [
        ("<dt>Given</dt>", "<dt>Administradas</dt>"),
        ("<p>Given.</p>", "<p>Administradas.</p>"),
        ("<p> Given\n</p>", "<p> Administradas\n</p>"),
        ("<b id='x'>Given</b>", "<b id='x'>Administradas</b>"),
        ('<b aria-label="Scan the card">7</b>', '<b aria-label="Escanee la tarjeta">7</b>'),
        ("<p>{% if a %}Given{% else %}Left{% endif %}</p>", "<p>Se fue</p>"),
    ],
)
def test_the_words_of_a_template_change_and_its_shape_stays(source, page):
    assert shown(source) == page


def test_numbers_keep_their_own_places_where_a_language_turns_a_sentence_round():
    page = shown("<p>{{ given }} of {{ all }} doses</p>", given=7, all=11)
    assert page == "<p>de 11 dosis, 7</p>"


@pytest.mark.parametrize("name", ["Held", "Left", "Given", "ready", "Held <b>"])
def test_a_person_called_like_a_word_of_ours_keeps_their_name(name):
    """Right person: a name is what it is in every language."""
    page = shown("<p>{{ name }}</p>", name=name)
    assert page == f"<p>{name.replace('<', '&lt;').replace('>', '&gt;')}</p>"


def test_what_a_form_sends_is_never_changed():
    page = shown('<button name="word" value="Held">Held</button><option>Held</option>')
    assert 'value="Held">Retenido<' in page
    assert page.endswith("<option>Held</option>")


def test_what_is_not_known_in_the_language_stays_and_is_marked_as_english():
    assert shown("<p>Call now</p>") == '<p><span lang="en">Call now</span></p>'
    assert shown("<title>Call now</title>") == "<title>Call now</title>"
    assert shown('<i title="Call now"></i>') == '<i title="Call now"></i>'


def test_what_has_its_own_language_is_left_alone():
    source = '<p><span lang="en">Given <b>Left</b></span> Given</p><script>Given</script>'
    told = '<p><span lang="en">Given <b>Left</b></span> Administradas</p><script>Given</script>'
    assert shown(source) == told


def test_a_count_and_what_stands_for_nothing_are_in_the_language():
    assert shown('<p>{{ n|counted:"dose,doses" }}</p>', n=3) == "<p>3 dosis</p>"
    assert shown('<p>{{ n|default:"not known" }}</p>', n="") == "<p>no se sabe</p>"


def test_what_python_says_changes_only_where_a_template_marks_it():
    assert shown("<p>{{ s }}</p>", s="Opened at 14:36.") == "<p>Opened at 14:36.</p>"
    assert shown("<p>{{ s|ours }}</p>", s="Opened at 14:36.") == "<p>Abierto a las 14:36.</p>"
    unknown = '<p><span lang="en">Call &lt;7&gt; now</span></p>'
    assert shown("<p>{{ s|ours }}</p>", s="Call <7> now") == unknown
    assert shown('<i title="{{ s|ours }}"></i>', s="Call now") == '<i title="Call now"></i>'


def test_a_number_passes_as_it_is():
    assert shown("<p>{{ n|ours }}</p>", n=12) == "<p>12</p>"


def test_every_word_of_a_template_is_asked_for():
    source = (
        '<title>A site</title><p title="To scan">{{ n|counted:"day,days" }} left, {{ x }}.</p>'
    )
    assert words_of(source) == ["A site", "To scan", "day,days", "{} left, {}"]
