"""Aluminium rails by the Aluminum Design Manual, or by what the rail's maker states."""
