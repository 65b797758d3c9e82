"""Device models: one file a device, found by its name; a device is data that the core executes."""

from minisim.devices._device import DeviceModel, known_devices, model_of

__all__ = ["DeviceModel", "known_devices", "model_of"]
