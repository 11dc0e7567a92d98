"""The tests of thawline; a package, so that no other package of this name comes first."""
