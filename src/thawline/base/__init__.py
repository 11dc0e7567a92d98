"""Words everyone speaks: instants, durations, quantities, ids, findings and errors."""
