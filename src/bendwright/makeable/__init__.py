"""Can this part be made with the tools owned, and what is the smallest change that would let it?"""
