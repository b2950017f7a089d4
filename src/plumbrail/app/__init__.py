"""The app: one small server and hand-written pages for the desk and for the phone in the field."""
