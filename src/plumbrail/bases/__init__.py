"""Design bases: families of codes that loads and resistances come from."""
