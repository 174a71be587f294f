"""How much will angles and sizes vary, from what, against which tolerance, and what would help?"""
