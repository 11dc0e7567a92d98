"""`thawline cold`: the cold store: was it in range, what is not known, who must be called."""

from cyclopts import App

from thawline.cli import cold_calls, cold_follow, cold_units

app = App(name="cold", help="The cold store: units, alerts, calls, logger files, pictures.")
app.command(cold_units.units)
app.command(cold_calls.answer)
app.command(cold_calls.night)
app.command(cold_follow.follow)
app.command("thawline.cli.cold_graph:graph", name="graph")
app.command("thawline.cli.cold_warming:warming", name="warming")
