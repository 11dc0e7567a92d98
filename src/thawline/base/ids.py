"""Names of things, each with its own type so that a lot is never passed for a vial."""

from typing import NewType

VialCode = NewType("VialCode", str)
"""Two letters, two digits and a check letter on the vial's flag, as in HK47M."""

SyringeCode = NewType("SyringeCode", str)
"""The vial's code and the number of the draw, as in HK47M-07."""

LotNumber = NewType("LotNumber", str)
"""The maker's lot, as printed."""

PersonId = NewType("PersonId", str)
"""The code that stands for a person in the ledger; the name lives in `identity.db`."""

ProtocolId = NewType("ProtocolId", str)
