"""What is raised where the table of rights says no, or where it asks for more."""


class DeniedError(Exception):
    """It may not be done like this; `needs` says what is missing: role, pin, second, time."""

    def __init__(self, needs: str, says: str) -> None:
        super().__init__(says)
        self.needs = needs
