"""Stock: cut lists with splices, what to buy, and concrete for the piers."""
