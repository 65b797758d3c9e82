from setuptools import setup
setup(cffi_modules=["cpu/build_core.py:ffibuilder"])
