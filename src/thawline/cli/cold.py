"""`thawline cold`: logger files, units, alerts, pictures, and what describes stays."""

from cyclopts import App

from thawline.cli.answers import Answer

app = App(name="cold", help="The cold store: logger files, pictures, units, alerts, calls.")
app.command("thawline.cli.cold_read:read", name="read")
app.command("thawline.cli.cold_keep:keep", name="keep")
app.command("thawline.cli.cold_units:units", name="units")
app.command("thawline.cli.cold_calls:answer", name="answer")
app.command("thawline.cli.cold_calls:night", name="night")
app.command("thawline.cli.cold_follow:follow", name="follow")
app.command("thawline.cli.cold_reading:reading", name="reading")
app.command("thawline.cli.cold_exposure:exposure", name="exposure")
app.command("thawline.cli.cold_record:call", name="call")
app.command("thawline.cli.cold_record:record", name="record")
app.command("thawline.cli.cold_graph:graph", name="graph")
app.command("thawline.cli.cold_warming:warming", name="warming")


@app.command
def kinetic(*, stays: str, protocol: str | None = None) -> Answer:
    """
    Describe stays at steady temperatures by their mean kinetic temperature; records nothing.

    thawline cold kinetic --stays "25 C 29 d, 40 C 1 d"
    thawline cold kinetic --stays "5 C 23 h, 15 C 1 h" --json

    It describes and clears nothing: any reading out of range is an excursion.

    Parameters
    ----------
    stays
        Temperature and length of each, as in "25 C 29 d, 40 C 1 d"; d, h or min.
    protocol
        A protocol id or file; the newest published guidance if left out.
    """
    from thawline.cli.cold_kinetic import stays_answer  # noqa: PLC0415  NumPy only as needed

    return stays_answer(stays, protocol)
