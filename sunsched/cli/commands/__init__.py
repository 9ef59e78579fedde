"""The commands, a module for each; importing them adds them to the command line.

In: the words of one command.
Out: text or JSON on stdout, messages on stderr.
"""

# `--help` lists them in the order of the work: a day is written, planned, argued, shot, looked
# back on.
# isort: off
from sunsched.cli.commands import new as new
from sunsched.cli.commands.lists import import_list as import_list
from sunsched.cli.commands import check as check
from sunsched.cli.commands import sun as sun
from sunsched.cli.commands import windows as windows
from sunsched.cli.commands.place import look as look
from sunsched.cli.commands.place import skyline as skyline
from sunsched.cli.commands import plan as plan
from sunsched.cli.commands import sheet as sheet
from sunsched.cli.commands import price as price
from sunsched.cli.commands import compare as compare
from sunsched.cli.commands import log as log
from sunsched.cli.commands import replan as replan
from sunsched.cli.commands import stress as stress
from sunsched.cli.commands import pace as pace
from sunsched.cli.commands.setups import gaffer as gaffer
from sunsched.cli.commands.screen import desk as desk
