from setuptools import find_namespace_packages, setup

# Every folder of minisim is a package or holds its data; cpu and devices are mapped in pyproject.toml.
setup(
    packages=["minisim.cpu", "minisim.devices", *find_namespace_packages(include=["minisim", "minisim.*"])],
    cffi_modules=["cpu/build_core.py:ffibuilder"],
)
