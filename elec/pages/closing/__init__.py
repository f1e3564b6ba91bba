"""May a zone be closed: what holds it open."""
