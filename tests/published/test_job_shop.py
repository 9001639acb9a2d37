"""The scheduler against job shops whose best makespans are published.

Sources: H. Fisher and G. L. Thompson, in Muth and Thompson, Industrial Scheduling, 1963: the
6 x 6 problem, makespan 55. S. Lawrence, Resource constrained project scheduling, 1984: problem 1,
10 x 5, makespan 666. Both stand in the OR-Library. The data are typed from memory; that the
makespans come out as published says that they are right, or that a slip changes nothing.
"""

from __future__ import annotations

from itertools import pairwise

from optimiser.solve.cpsat import Status
from optimiser.solve.schedule import Aim, Link, Task, schedule

from .claims import Cases, claim

FISHER_THOMPSON_6 = """
2 1  0 3  1 6  3 7  5 3  4 6
1 8  2 5  4 10 5 10 0 10 3 4
2 5  3 4  5 8  0 9  1 1  4 7
1 5  0 5  2 5  3 3  4 8  5 9
2 9  1 3  4 5  5 4  0 3  3 1
1 3  3 3  5 9  0 10 4 4  2 1
"""
LAWRENCE_1 = """
1 21 0 53 4 95 3 55 2 34
0 21 3 52 4 16 2 26 1 71
3 39 4 98 1 42 2 31 0 12
1 77 0 55 4 79 2 66 3 77
0 83 3 34 2 64 1 19 4 37
1 54 2 43 4 79 0 92 3 62
3 69 4 77 1 87 2 87 0 93
2 38 0 60 1 41 3 24 4 83
3 17 1 49 4 25 0 44 2 98
4 77 3 79 2 43 1 75 0 96
"""


@claim("the best makespan of 6 jobs on 6 machines", "Fisher and Thompson", seen="data from memory")
def test_six_jobs_on_six_machines() -> Cases:
    yield "ft06", 55, best_makespan(FISHER_THOMPSON_6)


@claim("the best makespan of 10 jobs on 5 machines", "Lawrence: problem 1", seen="data from memory")
def test_ten_jobs_on_five_machines() -> Cases:
    yield "la01", 666, best_makespan(LAWRENCE_1)


def best_makespan(data: str) -> int:
    jobs = [
        list(zip(numbers[::2], numbers[1::2], strict=True))
        for numbers in (list(map(int, line.split())) for line in data.strip().splitlines())
    ]
    far = sum(lasts for job in jobs for _, lasts in job)
    tasks, links = [], []
    for at, job in enumerate(jobs):
        for step, (machine, lasts) in enumerate(job):
            name = f"{at}.{step}"
            tasks.append(Task(name, lasts, lasts, ((0, far),), {f"machine {machine}": 1}))
            if step:
                links.append(Link(f"{at}.{step - 1}", name))
    machines = {thing: 1 for task in tasks for thing in task.uses}
    every = tuple(task.name for task in tasks)
    timetable = schedule(tasks, links, machines, [Aim(last=every)])
    assert timetable.status is Status.OPTIMAL
    assert timetable.times is not None
    (makespan,) = timetable.values
    # No machine holds two tasks at a time, and no job goes on before its step is done.
    for machine in machines:
        spans = sorted(timetable.times[task.name] for task in tasks if machine in task.uses)
        assert all(a[1] <= b[0] for a, b in pairwise(spans))
    for link in links:
        assert timetable.times[link.before][1] <= timetable.times[link.after][0]
    assert max(end for _, end in timetable.times.values()) == makespan
    return makespan
