"""What a person gets: absorbed power, radiant temperature, UTCI, reasons, exposure."""
