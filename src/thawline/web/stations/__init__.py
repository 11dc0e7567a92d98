"""A module for each screen of the site, and for the acts that are pressed there."""
