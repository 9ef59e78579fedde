"""The rest of a day planned anew.

In: a day with its past and the plan that was followed.
Out: choices to argue, with what each changes and loses.
"""
