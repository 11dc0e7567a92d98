"""
A sick call: who is signed off and free to cover, and what closes where nobody is.

Nobody is ever named for work they are not signed off for. Somebody free is found for as many
posts as can be, first for those without which something closes, then for those that begin
sooner. See docs/background/cover.md.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import time
from difflib import get_close_matches
from itertools import pairwise

import numpy as np
from scipy.optimize import linear_sum_assignment

from thawline.base.errors import NotFoundError, RecordError
from thawline.base.roles import Role


@dataclass(frozen=True, slots=True)
class Span:
    """A time of one day, from an hour up to another, by the wall clock of the site."""

    starts: time
    ends: time

    def __post_init__(self) -> None:
        if not self.starts < self.ends:
            raise RecordError(
                f"a shift from {self.starts:%H:%M} to {self.ends:%H:%M}",
                advice="it ends after it starts, on the same day",
            )

    def meets(self, other: "Span") -> bool:
        """Say whether some time lies in both."""
        return self.starts < other.ends and other.starts < self.ends


@dataclass(frozen=True, slots=True)
class Post:
    """Work that somebody has on the day, and when."""

    role: Role
    span: Span


@dataclass(frozen=True, slots=True)
class Member:
    """Somebody of the team: what they are signed off for; `post` None: not on the roster."""

    name: str
    signed_off: frozenset[Role]
    post: Post | None = None

    @property
    def works_signed_off(self) -> bool:
        """Say whether they are signed off for their own work of the day."""
        return self.post is None or self.post.role in self.signed_off


@dataclass(frozen=True, slots=True)
class Gap:
    """
    A post whose holder is ill, and what can be done.

    Args:
        ill: Who is ill.
        post: What they were to do, from the moment of the call on.
        cover: Who covers it: signed off, and free all that time; None: nobody is.
        others: Others who are signed off and free.
        movable: Those signed off who work elsewhere at that time, where others stay.
        stay: The fewest who do this work at one moment, the cover counted.
        closed: When nobody does it, the cover counted.
    """

    ill: str
    post: Post
    cover: str | None
    others: tuple[str, ...]
    movable: tuple[str, ...]
    stay: int
    closed: tuple[Span, ...]


def found_in(team: Sequence[Member], names: Iterable[str]) -> tuple[Member, ...]:
    """
    Return the members of these names, written in small or capital letters.

    Raises:
        NotFoundError: Somebody is not of the team.
    """
    known = {_key(member.name): member for member in team}
    found = []
    for name in names:
        member = known.get(_key(name))
        if member is None:
            near = get_close_matches(_key(name), known, 1)
            advice = f"did you mean {known[near[0]].name}?" if near else "see the team's file"
            raise NotFoundError(f"nobody is called {name!r} in the team", advice=advice)
        if member not in found:
            found.append(member)
    return tuple(found)


def gaps(team: Sequence[Member], ill: Sequence[Member], since: time) -> tuple[Gap, ...]:
    """
    Return a gap for everybody ill who still has work from a moment on, in the order given.

    Who works without being signed off is not counted, and covers nothing.
    """
    there = [member for member in team if member not in ill]
    left = [
        (member.name, post)
        for member in ill
        if member.post and (post := _from(member.post, since))
    ]
    covers = _covers(there, [post for _, post in left])
    at_work = [m.post for m in there if m.post and m.works_signed_off]
    at_work += [post for post, cover in zip(_posts(left), covers, strict=True) if cover]
    taken = {cover.name for cover in covers if cover}
    return tuple(
        Gap(
            ill=name,
            post=post,
            cover=cover.name if cover else None,
            others=tuple(m.name for m in there if _is_free(m, post) and m.name not in taken),
            movable=tuple(m.name for m in there if _may_move(m, post, at_work)),
            stay=_fewest(post, at_work),
            closed=tuple(_closed(post, at_work)),
        )
        for (name, post), cover in zip(left, covers, strict=True)
    )


def _posts(left: Sequence[tuple[str, Post]]) -> list[Post]:
    return [post for _, post in left]


def _from(post: Post, since: time) -> Post | None:
    """Return what is left of a post; None when it is over."""
    if since >= post.span.ends:
        return None
    return Post(post.role, Span(max(post.span.starts, since), post.span.ends))


def _covers(there: Sequence[Member], posts: Sequence[Post]) -> list[Member | None]:
    """
    Return who covers each post, nobody twice: as many as can be covered.

    One after the other: a post without which something closes, those already covered counted,
    before any other, then the one that begins sooner. A post that cannot be covered together
    with those before it cannot be later either.
    """
    at_work = [m.post for m in there if m.post and m.works_signed_off]
    left = list(range(len(posts)))
    found: dict[int, Member] = {}
    while left:
        counted = [*at_work, *(posts[number] for number in found)]
        after = [(_fewest(posts[n], counted) > 0, posts[n].span.starts, n) for n in left]
        number = min(after)[-1]
        left.remove(number)
        found = _matched(there, posts, [*found, number]) or found
    return [found.get(number) for number in range(len(posts))]


def _matched(
    there: Sequence[Member], posts: Sequence[Post], numbers: Sequence[int]
) -> dict[int, Member] | None:
    """Return who covers these posts, people at home first; None where one stays open."""
    more = len(there) + 1  # one more post covered counts more than everybody at home
    worth = np.array(
        [
            [_is_free(m, posts[number]) * (more + (m.post is None)) for m in there]
            for number in numbers
        ]
    )
    rows, columns = linear_sum_assignment(worth, maximize=True)
    if len(rows) < len(numbers) or not worth[rows, columns].all():
        return None
    pairs = zip(rows.tolist(), columns.tolist(), strict=True)
    return {numbers[row]: there[column] for row, column in pairs}


def _is_free(member: Member, post: Post) -> bool:
    """Say whether somebody is signed off for a post and has no work while it lasts."""
    if post.role not in member.signed_off:
        return False
    return member.post is None or not member.post.span.meets(post.span)


def _may_move(member: Member, post: Post, at_work: Sequence[Post]) -> bool:
    """Say whether somebody who works elsewhere could, with others staying where they leave."""
    own = member.post
    if own is None or own.role is post.role or not own.span.meets(post.span):
        return False
    shared = Span(max(own.span.starts, post.span.starts), min(own.span.ends, post.span.ends))
    all_of_it = shared == post.span
    return (
        all_of_it
        and post.role in member.signed_off
        and member.works_signed_off
        and _fewest(Post(own.role, shared), at_work) > 1
    )


def _fewest(post: Post, at_work: Sequence[Post]) -> int:
    """Return the fewest who do the same work at one moment of a post."""
    return min(count for _, count in _counts(post, at_work))


def _closed(post: Post, at_work: Sequence[Post]) -> Iterator[Span]:
    """Yield when nobody does the work of a post, in one piece where pieces meet."""
    start = None
    for span, count in _counts(post, at_work):
        if count == 0 and start is None:
            start = span.starts
        if count > 0 and start is not None:
            yield Span(start, span.starts)
            start = None
    if start is not None:
        yield Span(start, post.span.ends)


def _counts(post: Post, at_work: Sequence[Post]) -> Iterator[tuple[Span, int]]:
    """Yield pieces of a post's time with how many others do the same work then."""
    alike = [p.span for p in at_work if p.role is post.role and p.span.meets(post.span)]
    edges = {edge for span in alike for edge in (span.starts, span.ends)}
    inside = {edge for edge in edges if post.span.starts < edge < post.span.ends}
    for start, end in pairwise(sorted({*inside, post.span.starts, post.span.ends})):
        piece = Span(start, end)
        yield piece, sum(span.meets(piece) for span in alike)


def _key(name: str) -> str:
    return " ".join(name.casefold().split())
