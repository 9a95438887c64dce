"""The actions: what a user can do; each one reads, decides and writes in one transaction.

May import planner, water and store. The time comes in as an argument; failures go out as exceptions of `errors`.
"""
