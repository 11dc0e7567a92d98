"""How the documentation is built: from Markdown, without the network, warnings as errors."""

project = "thawline"
copyright = "the thawline authors, Apache-2.0"  # noqa: A001  Sphinx wants this name
extensions = ["myst_parser"]
exclude_patterns = ["decisions/template.md"]
myst_enable_extensions = ["colon_fence", "deflist"]
myst_heading_anchors = 3

html_theme = "furo"
html_title = "thawline"
html_copy_source = False
html_show_sphinx = False
