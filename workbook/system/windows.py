"""Windows functions that Python does not offer. Imported on Windows only."""

import ctypes
import sys

assert sys.platform == "win32"

_MAY_ASK = 0x1000  # PROCESS_QUERY_LIMITED_INFORMATION
_EXTENDED, _PROCESS_MEMORY = 9, 0x100  # JobObjectExtendedLimitInformation, JOB_OBJECT_LIMIT_PROCESS_MEMORY


class _Limits(ctypes.Structure):
    """JOBOBJECT_EXTENDED_LIMIT_INFORMATION."""

    _fields_ = (
        ("process_time", ctypes.c_int64),
        ("job_time", ctypes.c_int64),
        ("flags", ctypes.c_uint32),
        ("least_set", ctypes.c_size_t),
        ("most_set", ctypes.c_size_t),
        ("processes", ctypes.c_uint32),
        ("affinity", ctypes.c_size_t),
        ("priority", ctypes.c_uint32),
        ("scheduling", ctypes.c_uint32),
        ("counters", ctypes.c_uint64 * 6),
        ("process_memory", ctypes.c_size_t),
        ("job_memory", ctypes.c_size_t),
        ("peak_process_memory", ctypes.c_size_t),
        ("peak_job_memory", ctypes.c_size_t),
    )


def started(number: int) -> str:
    """When the process of a number was started, in 100 ns; "" when there is none, or it may not be queried."""
    kernel = ctypes.WinDLL("kernel32")
    kernel.OpenProcess.restype = ctypes.c_void_p
    process = ctypes.c_void_p(kernel.OpenProcess(_MAY_ASK, False, number))
    if not process:
        return ""
    times = [ctypes.c_uint64() for _ in range(4)]  # start, end, kernel time, user time
    succeeded = kernel.GetProcessTimes(process, *(ctypes.byref(time) for time in times))
    kernel.CloseHandle(process)
    start, end = times[0].value, times[1].value
    return str(start) if succeeded and not end else ""


def limit_memory(most: int) -> bool:
    """Put this process into a job limited to so many bytes; whether that succeeded."""
    kernel = ctypes.WinDLL("kernel32")
    kernel.CreateJobObjectW.restype = kernel.GetCurrentProcess.restype = ctypes.c_void_p
    job, limits = ctypes.c_void_p(kernel.CreateJobObjectW(None, None)), _Limits(flags=_PROCESS_MEMORY, process_memory=most)
    if not kernel.SetInformationJobObject(job, _EXTENDED, ctypes.byref(limits), ctypes.sizeof(limits)):
        return False
    return bool(kernel.AssignProcessToJobObject(job, ctypes.c_void_p(kernel.GetCurrentProcess())))
