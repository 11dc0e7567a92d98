"""The roles at a site: one list, used by permissions, training and briefing alike."""

from enum import StrEnum


class Role(StrEnum):
    """What somebody does at a site."""

    REGISTRAR = "registrar"
    SCREENER = "screener"
    PREPARER = "preparer"
    VACCINATOR = "vaccinator"
    OBSERVER = "observer"
    RUNNER = "runner"
    SITE_LEAD = "site lead"
    VACCINE_COORDINATOR = "vaccine coordinator"
    CLINICAL_LEAD = "clinical lead"
    TRAINER = "trainer"
    DATA_STEWARD = "data steward"
    TECHNICAL_ADMIN = "technical admin"
    AUDITOR = "auditor"
    HEALTH_UNIT = "health unit"
