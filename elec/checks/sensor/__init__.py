"""Checks of compasses and magnetometers: what currents near them do."""
