"""`thawline cold`: the cold store: temperatures in pictures, and the time that is left."""

from cyclopts import App

app = App(name="cold", help="The cold store: records of temperature, pictures, time left.")
app.command("thawline.cli.cold_graph:graph", name="graph")
app.command("thawline.cli.cold_warming:warming", name="warming")
