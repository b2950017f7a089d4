"""What the app keeps: jobs, every state of their plans, readings, ticks, devices. Append-only."""
