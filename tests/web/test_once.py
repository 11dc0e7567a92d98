"""A part of a page that is kept shows what it names, each browser's own token, and no more."""

from pathlib import Path

import pytest
from django.template import engines
from django.template.base import FilterExpression, Node, TemplateSyntaxError, Variable
from django.template.defaulttags import ForNode
from django.template.loader_tags import IncludeNode
from django.template.smartif import TokenBase
from django.test import RequestFactory
from tests.cast import HAZEL, SORREL

from thawline.base.roles import Role
from thawline.web import once as module

PART = (
    "{% once name=name %}{% csrf_token %}{{ name }} {{ beside }} {{ count.once }}{% endonce %}"
)


class Count:
    """Says how often it was asked."""

    def __init__(self) -> None:
        self.asked = 0

    def once(self) -> str:
        """Return how often it was asked, this time too."""
        self.asked += 1
        return f"asked {self.asked}"


def shown(template, **told) -> str:
    return template.render(told, RequestFactory().get("/"))


def made(source, language="en"):
    return engines[language].from_string(source)


def test_a_part_is_made_once_for_what_it_names():
    template, count = (
        made("{% once c=count n=name %}{{ c.once }} {{ n }}{% endonce %}"),
        Count(),
    )
    assert [shown(template, count=count, name=name) for name in ("a", "a", "b")] == [
        "asked 1 a",
        "asked 1 a",
        "asked 2 b",
    ]


def test_a_part_shows_nothing_that_it_does_not_name():
    page = shown(made(PART), name="Hazel", beside="another tablet's word", count=Count())
    assert "Hazel" in page
    assert "another" not in page
    assert "asked" not in page


def test_each_browser_gets_its_own_token_in_a_part_that_is_kept():
    template = made(PART)
    first, second = shown(template, name="Hazel"), shown(template, name="Hazel")
    tokens = [page.partition('value="')[2].partition('"')[0] for page in (first, second)]
    assert tokens[0] != tokens[1]
    assert first.replace(tokens[0], "") == second.replace(tokens[1], "")
    assert module.TOKEN not in first


def test_a_name_in_a_kept_part_is_escaped_as_in_any_other():
    assert "&lt;b&gt;" in shown(made(PART), name="<b>")


def test_what_was_asked_for_least_lately_makes_room(monkeypatch):
    monkeypatch.setattr(module, "MOST_CHARACTERS", 30)
    template, count = (
        made("{% once c=count n=name %}{{ c.once }} {{ n }}{% endonce %}"),
        Count(),
    )
    for name in ("a", "b", "a", "c", "a", "b"):  # three parts of nine characters are kept
        shown(template, count=count, name=name)
    assert count.asked == 3
    for name in ("d", "c", "b", "a"):
        shown(template, count=count, name=name)
    assert count.asked == 6


@pytest.mark.parametrize("words", ["", "who", "who path=path"])
def test_a_part_that_names_nothing_is_no_template(words):
    with pytest.raises(TemplateSyntaxError, match="once: name=value"):
        made(f"{{% once {words} %}}x{{% endonce %}}")


def test_two_people_at_one_screen_are_each_shown_their_own_footer(hall):
    first, second = (hall.browser(name, Role.PREPARER) for name in (HAZEL, SORREL))
    for _ in range(2):
        pages = [hall.get(each, "/vials") for each in (first, second)]
        mine, theirs = (page.content.decode() for page in pages)
        assert f"{HAZEL} works here" in mine
        assert f"{SORREL} works here" in theirs
        assert SORREL not in mine


def bound(node) -> set[str]:
    """Return the names that a node gives to what is inside of it."""
    return {
        *getattr(node, "loopvars", ()),
        *getattr(node, "extra_context", ()),
        *({"forloop"} if isinstance(node, ForNode) else ()),
    }


def missing(part, known: set[str], engine) -> set[str]:
    """Return the names that a part of a template shows and nothing in it gives."""
    if isinstance(part, Variable):
        return {part.lookups[0]} - known if part.lookups else set()
    if isinstance(part, dict):
        part = [*part.values()]
    if isinstance(part, list | tuple):
        return {name for each in part for name in missing(each, known, engine)}
    if not isinstance(part, Node | FilterExpression | TokenBase):
        return set()
    if isinstance(part, FilterExpression):
        return missing([part.var, part.filters], known, engine)
    inside = [held for name, held in vars(part).items() if name not in {"token", "origin"}]
    if isinstance(part, IncludeNode):
        inside.append(engine.get_template(part.template.var).nodelist)
    return missing(inside, known | bound(part), engine)


def kept_parts():
    engine = engines["en"].engine
    for path in sorted(Path(engine.dirs[0]).glob("*.html")):
        for part in engine.get_template(path.name).nodelist.get_nodes_by_type(module.Once):
            yield path.name, part, engine


def test_every_part_that_is_kept_names_everything_that_it_shows():
    lost = {}
    for name, part, engine in kept_parts():
        known = {*part._shown, *module._OF_THE_LANGUAGE, "True", "False", "None"}
        if found := missing(part.nodelist, known, engine):
            lost[name] = found
    assert lost == {}
    assert len(list(kept_parts())) >= 7
