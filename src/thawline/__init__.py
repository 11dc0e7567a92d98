"""
thawline: one protocol file runs a vaccination site, from frozen carton to second dose.

The folders tell the dose's journey; `docs/decisions/` says why they are as they are.
"""

__version__ = "0.1.0"
