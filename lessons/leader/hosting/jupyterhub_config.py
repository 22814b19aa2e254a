"""JupyterHub for one class: each learner signs in, works in a copy of the lessons, and cannot see the others' files.

Start it as hosting.md says. By itself it listens on this machine only (127.0.0.1); WOODCALC_LISTEN opens it to a room.
"""

import os
import pwd
import re
import subprocess
import sys
from pathlib import Path

from jupyterhub.spawner import LocalProcessSpawner

c = get_config()  # noqa: F821 - given by JupyterHub

HERE = Path(__file__).resolve().parent
LESSONS = HERE.parents[1]
STATE = Path(os.environ.get("WOODCALC_HUB_STATE", "/var/lib/woodcalc-hub"))
STATE.mkdir(parents=True, exist_ok=True)
STATE.chmod(0o700)  # hashed passwords and the cookie secret: for root only

# Who can reach it. The hub's own inner doors stay on this machine in any case.
c.JupyterHub.bind_url = (
    f"http://{os.environ.get('WOODCALC_LISTEN', '127.0.0.1')}:{os.environ.get('WOODCALC_PORT', '8000')}"
)
c.JupyterHub.hub_bind_url = f"http://127.0.0.1:{os.environ.get('WOODCALC_HUB_PORT', '8081')}"
c.ConfigurableHTTPProxy.api_url = f"http://127.0.0.1:{os.environ.get('WOODCALC_PROXY_PORT', '8001')}"
c.JupyterHub.db_url = f"sqlite:///{STATE / 'hub.sqlite'}"
c.JupyterHub.cookie_secret_file = str(STATE / "cookie-secret")
c.ConfigurableHTTPProxy.pid_file = str(STATE / "proxy.pid")
os.umask(0o077)

# Everyone picks a password at the first sign-in; it is kept as a hash, never in a file of ours. Only names on the
# class list get in.
c.JupyterHub.authenticator_class = "firstuseauthenticator.FirstUseAuthenticator"
c.FirstUseAuthenticator.dbm_path = str(STATE / "passwords.dbm")
c.FirstUseAuthenticator.min_password_length = 8
class_list = STATE / "class-list.txt"
if not class_list.exists():
    raise SystemExit(f"Write the learners' names, one a line, into {class_list} first (see hosting.md).")
names = [line.strip().lower() for line in class_list.read_text(encoding="utf-8").splitlines() if line.strip()]
for name in names:
    if not re.fullmatch(r"[a-z][a-z0-9-]{0,20}", name):
        raise SystemExit(
            f"{class_list}: {name!r}: a name has letters, digits and dashes, begins with a letter, at most 21 in all."
        )
c.Authenticator.allowed_users = set(names)


class LearnerSpawner(LocalProcessSpawner):
    """Runs each learner's server as a system account of their own: files are private by the system's own rules."""

    @property
    def account(self):
        return f"wc-{self.user.name}"

    def make_preexec_fn(self, name):
        return super().make_preexec_fn(self.account)

    def user_env(self, env):
        person = pwd.getpwnam(self.account)
        return env | {"USER": self.account, "HOME": person.pw_dir, "SHELL": "/bin/sh", "JUPYTER_PREFER_ENV_PATH": "1"}

    async def start(self):
        try:
            person = pwd.getpwnam(self.account)
        except KeyError:
            subprocess.run(["useradd", "--create-home", "--shell", "/bin/sh", self.account], check=True)
            person = pwd.getpwnam(self.account)
            os.chmod(person.pw_dir, 0o700)
        hand_out = [sys.executable, "-m", "woodcalc.lesson.copies", str(LESSONS), f"{person.pw_dir}/lessons"]
        try:
            subprocess.run(  # as the learner: root never writes into a learner's folder
                hand_out, check=True, user=person.pw_uid, group=person.pw_gid, extra_groups=[], cwd=person.pw_dir,
                env={"PATH": os.environ["PATH"], "HOME": person.pw_dir}, umask=0o077, timeout=60,
            )  # fmt: skip
        except (OSError, subprocess.SubprocessError) as error:  # the lessons that are there will do
            self.log.warning("Lessons of %s are not brought up to date: %s", self.account, error)
        return await super().start()


c.JupyterHub.spawner_class = LearnerSpawner
c.Spawner.notebook_dir = "~/lessons"
c.Spawner.default_url = "/lab/tree/00-start-here.ipynb"
c.Spawner.http_timeout = 90
c.Spawner.start_timeout = 120
# At most this much address space for a server and for each kernel; a kernel that asks for more stops, nobody
# else's does.
limit_mb = int(os.environ.get("WOODCALC_MEMORY_MB", "2048"))
c.Spawner.cmd = ["prlimit", f"--as={limit_mb * 1024 * 1024}", f"{Path(sys.executable).parent}/jupyterhub-singleuser"]
c.Spawner.environment = {
    "OPENBLAS_NUM_THREADS": "1",  # thirty learners share the processor
    "MPLCONFIGDIR": "/tmp/woodcalc-mpl-{username}",
}
c.Spawner.args = ["--MappingKernelManager.cull_idle_timeout=1200", "--MappingKernelManager.cull_connected=True"]

# A server that nobody has touched for an hour is stopped; files stay.
c.JupyterHub.services = [
    {
        "name": "idle-culler",
        "command": [sys.executable, "-m", "jupyterhub_idle_culler", "--timeout=3600", "--cull-every=300"],
    }
]
c.JupyterHub.load_roles = [
    {
        "name": "idle-culler",
        "services": ["idle-culler"],
        "scopes": ["list:users", "read:users:activity", "read:servers", "delete:servers"],
    }
]
