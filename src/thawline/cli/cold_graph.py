"""`thawline cold graph`: a record of temperature as a picture, on the terminal and as SVG."""

from dataclasses import dataclass
from datetime import timedelta
from typing import Annotated, Any

from cyclopts import Parameter

from thawline.adapters.whole_files import write_picture
from thawline.app.looked_at import look
from thawline.base.instants import Instant, from_ms, written
from thawline.cli.answers import Answer
from thawline.cli.asking import moment
from thawline.cli.cold_files import Against, Held, held_against
from thawline.cli.logger_options import AS_IT_IS, FileLayout, interval_of
from thawline.cli.options import Number, Readable
from thawline.draw.trace import Trace
from thawline.draw.trace_record import Shown, trace_of
from thawline.draw.trace_svg import trace_svg
from thawline.draw.trace_text import trace_text


@Parameter(name="*")
@dataclass(frozen=True, kw_only=True)
class Drawn:
    """
    What is drawn of it, and how.

    Parameters
    ----------
    title
        What stands over the picture; left out, the file's name.
    since
        The first moment shown: 13:37, a date at noon, or a full time.
    until
        The last moment shown.
    interval
        Minutes between readings; the shorter of stated and usual if left out.
    fahrenheit
        Show degrees Fahrenheit too.
    svg
        The file to write the picture to; its name ends in .svg.
    """

    title: str | None = None
    since: str | None = None
    until: str | None = None
    interval: Number = None
    fahrenheit: Annotated[bool, Parameter(negative="")] = False
    svg: str | None = None


_MS = timedelta(milliseconds=1)
NO_AGAINST, WHOLE = Against(), Drawn()


def graph(
    file: Readable | None = None,
    /,
    *,
    against: Against = NO_AGAINST,
    layout: FileLayout = AS_IT_IS,
    drawn: Drawn = WHOLE,
) -> Answer:
    """
    Draw a unit's or a file's record: the band, what is not known, time out on its limit.

    thawline cold graph fridge-2.csv --band fridge --svg fridge-2.svg
    thawline cold graph --unit freezer-1 --since "2026-02-02 00:00" --until 06:00

    Prints the picture in plain characters; --svg writes it for a page too. The line is never
    joined across a gap. Records nothing.

    Parameters
    ----------
    file
        A logger's file; a lone hyphen is standard input.
    """
    held = held_against(file, against, layout)
    first = _moment(drawn.since, held)
    last = _moment(drawn.until, held)
    typed = interval_of(drawn.interval)
    interval_ms = held.interval_ms if typed is None else typed // _MS
    looked = look(held.record, held.question, interval_ms, first, last)
    shown = Shown(
        title=drawn.title or held.title,
        zone=held.zone,
        limits=held.question.limits,
        since=first,
        until=last,
        by_hand=held.by_hand,
        held=held.says,
        fahrenheit=drawn.fahrenheit,
        demo=held.demo,
    )
    trace = trace_of(looked.tidy, looked.exposure, shown)
    if drawn.svg is not None:
        write_picture(drawn.svg, trace_svg(trace))
    return Answer(
        data=trace_data(trace) | {"readings": looked.tidy.raw, "svg": drawn.svg},
        text="\n".join(trace_text(trace)),
        alerts=held.alerts,
        found=bool(trace.outside or trace.gaps),
        not_known=("gaps",) if trace.gaps else (),
        protocol=held.ref,
    )


def _moment(text: str | None, held: Held) -> Instant | None:
    return None if text is None else moment(text, held.last, held.zone)


def trace_data(trace: Trace) -> dict[str, Any]:
    """Return what a picture shows, as JSON: times with their offset, words as drawn."""

    def at(ms: int) -> str:
        return written(from_ms(ms), trace.zone)

    return {
        "title": trace.title,
        "from": written(trace.since, trace.zone),
        "to": written(trace.until, trace.zone),
        "low_c": trace.low_c,
        "high_c": trace.high_c,
        "gaps": [{"from": at(gap.from_ms), "to": at(gap.to_ms)} for gap in trace.gaps],
        "outside": [
            {"side": run.side.value, "from": at(run.from_ms), "to": at(run.to_ms)}
            for run in trace.outside
        ],
        "says": list(trace.says),
    }
