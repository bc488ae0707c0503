# SPDX-License-Identifier: Apache-2.0
# Copyright 2026 The Loftline authors
"""A Slurm cluster of two nodes on this machine, for as long as a with-block lasts.

Everything of it (key, sockets, configuration, state, logs) lies in one folder, and it uses ports that are free: it does
not meet a Slurm that is set up here. When the block ends, however it ends, all processes are stopped, jobs included.
"""

import ctypes
import getpass
import os
import pathlib
import secrets
import shutil
import signal
import socket
import subprocess
import time

NODES = ("near", "far")
CPUS = 2  # of each node, whatever the machine has: two tasks at once, as on two machines
REQUEUE_AFTER_S = 5  # the least that Slurm takes; its own value is 120
DAEMONS = ("munged", "slurmctld", "slurmd")
PR_SET_CHILD_SUBREAPER = 36  # linux/prctl.h


class CannotStart(Exception):
    """There can be no cluster on this machine; says why."""


def _free_ports(count):
    sockets = [socket.socket() for _ in range(count)]
    for each in sockets:
        each.bind(("127.0.0.1", 0))
    ports = [each.getsockname()[1] for each in sockets]
    for each in sockets:
        each.close()
    return ports


def _path_with_daemons():
    return os.environ.get("PATH", "") + ":/usr/sbin:/usr/local/sbin"  # often only on root's path


def _parents():
    """Parent of every process of this machine, by number."""
    parents = {}
    for entry in pathlib.Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                stat = (entry / "stat").read_text(encoding="utf-8", errors="replace")
            except OSError:
                continue  # it has just ended
            parents[int(entry.name)] = int(stat.rpartition(")")[2].split()[1])
    return parents


def descendants(of):
    """All processes below the process OF."""
    parents = _parents()
    found, fresh = set(), {of}
    while fresh:
        fresh = {child for child, parent in parents.items() if parent in fresh} - found
        found |= fresh
    return found


def environment_of(process):
    try:
        lines = pathlib.Path(f"/proc/{process}/environ").read_bytes().split(b"\0")
    except OSError:
        return {}
    return dict(line.decode(errors="replace").split("=", 1) for line in lines if b"=" in line)


class Cluster:
    def __init__(self, folder):
        self.folder = pathlib.Path(folder)
        self.daemons = {}

    def __enter__(self):
        missing = [name for name in DAEMONS if not shutil.which(name, path=_path_with_daemons())]
        if missing:
            raise CannotStart("not installed: " + ", ".join(missing))
        # What the daemons leave behind becomes our child, so that it can be found and stopped.
        ctypes.CDLL(None).prctl(PR_SET_CHILD_SUBREAPER, 1, 0, 0, 0)
        try:
            self._configure()
            self._start("munged", "munged", "--foreground", *(f"--{name}={self.folder / 'munge'}.{ending}" for name, ending in
                        (("key-file", "key"), ("socket", "socket"), ("pid-file", "pid"), ("log-file", "log"), ("seed-file", "seed"))))
            self._wait_until(lambda: (self.folder / "munge.socket").exists(), 15)
            self._start("slurmctld", "slurmctld", "-D")
            for node in NODES:
                self.start_node(node)
            self._wait_until(lambda: self.node_states() == ["idle"] * len(NODES), 60)
        except CannotStart as trouble:
            last_lines = self.last_lines()
            self.stop()
            raise CannotStart(f"{trouble}\n{last_lines}") from None
        except BaseException:
            self.stop()
            raise
        return self

    def __exit__(self, *_):
        self.stop()

    def _configure(self):
        self.folder.chmod(0o711)  # as munged wants it
        key = self.folder / "munge.key"
        key.touch(mode=0o600)
        key.write_bytes(secrets.token_bytes(128))
        (self.folder / "state").mkdir()
        host, user = socket.gethostname().partition(".")[0], getpass.getuser()
        controller_port, *node_ports = _free_ports(1 + len(NODES))
        memory_mib = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") // 2**20
        lines = [
            "ClusterName=flat",
            f"SlurmctldHost={host}(127.0.0.1)",
            f"SlurmctldPort={controller_port}",
            f"SlurmUser={user}",
            f"SlurmdUser={user}",
            "AuthType=auth/munge",
            f"AuthInfo=socket={self.folder}/munge.socket,cred_expire={REQUEUE_AFTER_S}",
            "CredType=cred/munge",
            "ProctrackType=proctrack/linuxproc",  # cgroups are often out of reach in a container
            "TaskPlugin=task/none",
            "JobAcctGatherType=jobacct_gather/none",
            "AccountingStorageType=accounting_storage/none",
            "SwitchType=switch/none",
            "MpiDefault=none",
            "SelectType=select/cons_tres",
            "SelectTypeParameters=CR_CPU",
            "SlurmdParameters=config_overrides",
            "ReturnToService=2",
            "KillWait=2",
            f"StateSaveLocation={self.folder}/state",
            f"SlurmdSpoolDir={self.folder}/spool-%n",
            f"SlurmctldPidFile={self.folder}/slurmctld.pid",
            f"SlurmdPidFile={self.folder}/%n.pid",
        ]
        lines += [
            f"NodeName={node} NodeHostname={host} NodeAddr=127.0.0.1 Port={port} CPUs={CPUS} RealMemory={memory_mib}"
            for node, port in zip(NODES, node_ports)
        ]
        lines.append("PartitionName=all Nodes=ALL Default=YES State=UP")
        (self.folder / "slurm.conf").write_text("\n".join(lines) + "\n", encoding="utf-8")
        self.environment = {name: value for name, value in os.environ.items() if not name.startswith("SLURM")}
        self.environment |= {"SLURM_CONF": str(self.folder / "slurm.conf"), "PATH": _path_with_daemons()}

    def _start(self, name, *command):
        with open(self.folder / f"{name}.log", "ab") as log:
            self.daemons[name] = subprocess.Popen(  # pylint: disable=consider-using-with
                # Its own process group: an interrupt from the keyboard is for us, and we stop the daemons in order.
                command, cwd=self.folder, env=self.environment, stdin=subprocess.DEVNULL, stdout=log, stderr=log,
                start_new_session=True)

    def start_node(self, node):
        self._start(node, "slurmd", "-D", "-N", node)

    def crash_node(self, node):
        """Kills all that runs on NODE at once, as when its power fails, and tells the controller that it is down.

        It would notice by itself, but only after a while.
        """
        daemon = self.daemons.pop(node)
        doomed = {daemon.pid} | {process for process in descendants(os.getpid())
                                 if environment_of(process).get("SLURMD_NODENAME") == node}
        # slurmstepd, which looks after a task, has no node in its environment; its tasks have.
        parents = _parents()
        doomed |= {parents[process] for process in doomed if parents.get(process, 0) not in (0, 1, os.getpid())}
        for process in doomed:
            _kill(process, signal.SIGKILL)
        daemon.wait()
        self._set_state(node, "down")

    def bring_back_node(self, node):
        self.start_node(node)
        self._set_state(node, "resume")

    def _set_state(self, node, state):
        subprocess.run(["scontrol", "update", f"nodename={node}", f"state={state}", "reason=test"], env=self.environment, check=True)

    def node_states(self):
        shown = subprocess.run(["sinfo", "--noheader", "--Node", "--format=%T"], env=self.environment, capture_output=True,
                               text=True, check=False)
        return shown.stdout.split()

    def _wait_until(self, condition, timeout_s):
        end = time.monotonic() + timeout_s
        while not condition():
            for name, daemon in self.daemons.items():
                if daemon.poll() is not None:
                    raise CannotStart(f"{name} ended with status {daemon.returncode}")
            if time.monotonic() > end:
                raise CannotStart(f"not ready after {timeout_s} s")
            time.sleep(0.1)

    def last_lines(self, count=8):
        shown = []
        for log in sorted(self.folder.glob("*.log")):
            lines = log.read_text(encoding="utf-8", errors="replace").splitlines()
            shown += [f"--- {log.name}"] + lines[-count:]
        return "\n".join(shown)

    def stop(self):
        for daemon in self.daemons.values():
            daemon.terminate()
        end = time.monotonic() + 5.0
        for daemon in self.daemons.values():
            try:
                daemon.wait(max(0.0, end - time.monotonic()))
            except subprocess.TimeoutExpired:
                pass  # killed below
        while left := descendants(os.getpid()):
            for process in left:
                _kill(process, signal.SIGKILL)
            for process in left:
                try:
                    os.waitpid(process, 0)
                except ChildProcessError:
                    pass  # not ours yet, or one of self.daemons that was waited for already
        self.daemons.clear()


def _kill(process, how):
    try:
        os.kill(process, how)
    except ProcessLookupError:
        pass
