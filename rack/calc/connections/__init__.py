"""Threads: their names, what mates, how stiff and how strong a joint is, and when it is worn out."""

from rack.calc.connections.geometry import Thread, thread_of
from rack.calc.connections.limits import (
    RatioRange,
    ToolJointLimits,
    ToolJointLimitsWorked,
    ratio_standards,
    recommended_ratio,
    tool_joint_limits,
    tool_joint_limits_worked,
)
from rack.calc.connections.names import (
    COUPLED,
    End,
    canonical,
    is_coupled,
    known,
    mates,
    names_of,
    why_not,
)
from rack.calc.connections.strength import (
    COLLAR_MAKE_UP_PSI,
    H90_COLLAR_MAKE_UP_PSI,
    TOOL_JOINT_MAKE_UP_PSI,
    TOOL_JOINT_YIELD_PSI,
    Areas,
    JointStrengths,
    areas,
    areas_worked,
    bending_strength_ratio,
    bending_strength_ratio_worked,
    joint_strengths,
    joint_strengths_worked,
    line_pull_lb,
    line_pull_lb_worked,
    make_up_torque_ft_lb,
    make_up_torque_ft_lb_worked,
    torque_ft_lb,
    torque_ft_lb_worked,
)

__all__ = [
    "COLLAR_MAKE_UP_PSI", "COUPLED", "H90_COLLAR_MAKE_UP_PSI", "TOOL_JOINT_MAKE_UP_PSI",
    "TOOL_JOINT_YIELD_PSI", "Areas", "End", "JointStrengths", "RatioRange", "Thread", "ToolJointLimits",
    "ToolJointLimitsWorked", "areas", "areas_worked", "bending_strength_ratio",
    "bending_strength_ratio_worked", "canonical", "is_coupled", "joint_strengths",
    "joint_strengths_worked", "known", "line_pull_lb", "line_pull_lb_worked", "make_up_torque_ft_lb",
    "make_up_torque_ft_lb_worked", "mates", "names_of", "ratio_standards", "recommended_ratio",
    "thread_of", "tool_joint_limits", "tool_joint_limits_worked", "torque_ft_lb", "torque_ft_lb_worked",
    "why_not",
]
