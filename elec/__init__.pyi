from elec.finding import Finding as Finding
from elec.finding import Mistaken as Mistaken
from elec.finding import Verdict as Verdict
from elec.model.system import System as System
from elec.pages.table import Table as Table
from elec.results import Results as Results
from elec.results import analyse as analyse
from elec.results import compare as compare
from elec.results import load as load

__version__: str
OFFERED: dict[str, str]
