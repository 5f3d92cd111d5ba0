"""Seeded faults: the suite notices when the code is wrong."""
