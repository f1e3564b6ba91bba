"""Weight and magnetic sensors."""
