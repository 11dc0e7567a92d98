"""`thawline replay`: a day of the record played again, as it was or with one thing changed."""

from cyclopts import App

app = App(name="replay", help="A day of the record played again, or with one thing changed.")
app.command("thawline.cli.replay_day:day", name="day")
app.command("thawline.cli.replay_change:change", name="change")
