"""The tackle: chain, cable, connectors and the weakest link."""
