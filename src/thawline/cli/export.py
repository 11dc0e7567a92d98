"""`thawline export`: what goes out to others, in their formats."""

from cyclopts import App

app = App(name="export", help="Files for others: an appointment for a calendar.")
app.command("thawline.cli.export_ics:ics", name="ics")
