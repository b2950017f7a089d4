"""The order and the dates of the work, and the way of modules from an old array to the new one."""
