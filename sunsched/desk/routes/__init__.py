"""What browsers can ask the server, a module for each part of the page.

In: requests that the guard has let through.
Out: pages, answers as JSON, and files.
"""
