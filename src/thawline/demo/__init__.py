"""
The invented district of Upper Velleny: its sites, people, lots and incidents, by site and date.

All of it is made up. The demo plays it through the same use cases that a person would use;
nothing of it is used by anything but the command line, the web app and tests.
"""
